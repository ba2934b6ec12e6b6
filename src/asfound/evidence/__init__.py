"""Statements of what a station held, their signatures, and the folder that is handed over.

What it promises (each has a test in tests/evidence/):

* **any changed byte is found**, of any file of a hand-over: by its digest, of the list of digests by its signature, of
  a signature by the one form it may have; a file more or less is found too.
* **everything fits everything**: sums, statement (text, JSON, envelope), originals, normal forms and the history are
  held against each other, so that one replaced by another sound one is found.
* **standard tools suffice**: sha256sum, ssh-keygen, git and tar check the same, except that they do not notice files
  that were added, nor line breaks inside the armour of a signature, which mean nothing to OpenSSH.
* **unsigned is said**, in the statement's files, the first page, the instructions and the verdict, which names what
  nobody vouches for and is a failure until the person accepts it. Half of the signatures is a fault.
* **nothing in it acts**: every field is what it claims to be before it is used or shown, only plain files are opened,
  within limits, git sees the bundle alone, and the commands to type take nothing from the folder that could run, write
  or lead elsewhere.
* **no signature is kept that does not fit**: each is verified after it was made.
* **one station only** is handed over, with its whole history.

What is NOT proved: that the exports came from the controller and are complete, and the times: a person's word, and
every statement says so. Whose key it is: the folder's own ``signers`` can only be compared with what that person tells
by another way. An unsigned hand-over made anew from end to end. A commit id is a SHA-1; the digests of all files in
record, sums and statement are SHA-256.
"""
