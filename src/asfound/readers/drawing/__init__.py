"""From a drawing to logic, whatever file it was read from.

A reader of a graphical format fills the items of drawn_items.py; order.py decides what runs first, flow.py what it
computes, temporaries.py where intermediate results go, networks.py what is one rung. chart_resolving.py turns a
sequential function chart into steps and transitions.
"""
