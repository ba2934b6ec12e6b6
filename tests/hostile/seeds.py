"""Small whole exports, one per format and piece: what damage is done to, and what trees are grown from."""

from __future__ import annotations

import copy
import io
import zipfile
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

from lxml import etree

ROOT = Path(__file__).parents[2]
VISIT = ROOT / "sample_exports/screens-1/2-as-found-2026/running"
BOOSTER = ROOT / "sample_exports/booster-1/2-as-found-2026"
TEN = b"""<?xml version="1.0" encoding="utf-8"?>
<Project xmlns="www.iec.ch/public/TC65SC65BWG7TF10" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance" schemaVersion="1.0">
<FileHeader companyName="c" productName="p" productVersion="1"/><ContentHeader name="Rake" creationDateTime="2026-01-01T00:00:00"/>
<Types><GlobalNamespace>
<DataTypeDecl name="Mode"><UserDefinedTypeSpec xsi:type="EnumTypeSpec"><Enumerator name="Off"/><Enumerator name="On"/></UserDefinedTypeSpec></DataTypeDecl>
<Program name="Main"><Vars accessSpecifier="private"><Variable name="Go"><Type><TypeName>BOOL</TypeName></Type><InitialValue><SimpleValue value="TRUE"/></InitialValue><Address address="%IX0.0"/></Variable>
<Variable name="Run"><Type><TypeName>BOOL</TypeName></Type></Variable><Variable name="T1"><Type><TypeName>TON</TypeName></Type></Variable></Vars>
<MainBody><BodyContent xsi:type="LD"><Rung evaluationOrder="1">
<LdObject xsi:type="LeftPowerRail"><ConnectionPointOut connectionPointOutId="1"/></LdObject>
<LdObject xsi:type="Contact" operand="Go" negated="true"><ConnectionPointIn><Connection refConnectionPointOutId="1"/></ConnectionPointIn><ConnectionPointOut connectionPointOutId="2"/></LdObject>
<LdObject xsi:type="Coil" operand="Run" latch="set"><ConnectionPointIn><Connection refConnectionPointOutId="2"/></ConnectionPointIn><ConnectionPointOut connectionPointOutId="3"/></LdObject>
</Rung></BodyContent></MainBody></Program>
<FunctionBlock name="Delay"><Parameters><InputVars><Variable name="A" orderWithinParamSet="1"><Type><TypeName>BOOL</TypeName></Type></Variable></InputVars></Parameters>
<MainBody><BodyContent xsi:type="FBD"><Network evaluationOrder="1">
<FbdObject xsi:type="DataSource" identifier="A"><ConnectionPointOut connectionPointOutId="1"/></FbdObject>
<FbdObject xsi:type="Block" typeName="TON" instanceName="T1"><InputVariables><InputVariable parameterName="IN"><ConnectionPointIn><Connection refConnectionPointOutId="1"/></ConnectionPointIn></InputVariable></InputVariables>
<OutputVariables><OutputVariable parameterName="Q"><ConnectionPointOut connectionPointOutId="5"/></OutputVariable></OutputVariables></FbdObject>
<FbdObject xsi:type="DataSink" identifier="B"><ConnectionPointIn><Connection refConnectionPointOutId="5"/></ConnectionPointIn></FbdObject>
<CommonObject xsi:type="Comment"><Content xsi:type="SimpleText">say</Content></CommonObject>
</Network></BodyContent></MainBody></FunctionBlock>
<Function name="Twice"><ResultType><TypeName>INT</TypeName></ResultType><MainBody><BodyContent xsi:type="ST"><ST>Twice := 2 * X;</ST></BodyContent></MainBody></Function>
</GlobalNamespace></Types>
<Instances><Configuration name="C"><Resource name="R" resourceTypeName="x"><GlobalVars><Variable name="G"><Type><TypeName>INT</TypeName></Type></Variable></GlobalVars><Task name="T" interval="T#10ms" priority="1"/><ProgramInstance name="P" typeName="Main" associatedTaskName="T"/></Resource></Configuration></Instances>
</Project>"""
ST = b"""TYPE Mode : (Off, On := 3); Span : INT(-5..5); Pair : STRUCT a : REAL := 1.5; b : ARRAY[0..3, 1..2] OF STRING[20]; END_STRUCT; END_TYPE
{attribute 'x' := 'y'}
FUNCTION_BLOCK Pump EXTENDS Base IMPLEMENTS I1
VAR_INPUT RETAIN Go : BOOL; Level AT %IW4 : INT := 16#FF; END_VAR (* why *)
VAR t1 : TON; d : TIME := T#1h2m3.5s; r : REF_TO INT; w : WSTRING := "a$"b"; END_VAR
METHOD PUBLIC Start : BOOL Start := TRUE; END_METHOD
IF Go AND NOT t1.Q OR Level > 3 THEN t1(IN := Go, PT := d, Q => Out); ELSIF x THEN y S= z; ELSE RETURN; END_IF;
CASE Level OF 1, 3..5: a := b ** 2 MOD 3; ELSE ; END_CASE; // end
FOR i := 0 TO 10 BY 2 DO arr[i].m := THIS^.f(1, EN := TRUE); EXIT; END_FOR; WHILE a DO CONTINUE; END_WHILE; REPEAT b := -c; UNTIL d END_REPEAT;
END_FUNCTION_BLOCK
"""
IL = b"""PROGRAM Old VAR a, b : BOOL; t : TON; n : INT; END_VAR
start: LD a
ANDN( b
OR %IX1.0
)
ST q
CAL t(IN := a, PT := T#2s)
JMPC start
LD n
GT 5
RETC
END_PROGRAM
"""
CHART = b"""PROGRAM Seq
INITIAL_STEP S0: END_STEP
STEP S1: Act(D, T#3s, done); END_STEP
TRANSITION tr1 (PRIORITY := 1) FROM S0 TO (S1, S2) := go; END_TRANSITION
TRANSITION FROM S1 TO S0: LD x END_TRANSITION
STEP S2: END_STEP
ACTION Act: q := TRUE; END_ACTION
END_PROGRAM
CONFIGURATION C VAR_GLOBAL g AT %MW0 : INT; END_VAR RESOURCE R ON CPU TASK T(INTERVAL := T#10ms, PRIORITY := 1); PROGRAM P WITH T : Seq(a := g); END_RESOURCE END_CONFIGURATION
"""
MODULES = b"Station;Rack;Slot;Module;Order number;Firmware;Input start;Input length\nS;0;1;DI 16;A-1;V1.0;0;2\nS;0;2;DO 8;A-2;;;\n"
VALUES = b"Name;Actual value;Initial value;Unit;Comment\nSpeed;12.5;10;m/s;set on site\n"
FORCES = b"Name;Address;Forced value;Comment\nPump;%Q0.1;TRUE;test\n"
TAGS = b"Name;Address;Type;Comment\nPump on;%Q0.1;BOOL;runs\nLevel;%IW4;INT;\n"


def piecewise(path: Path) -> Iterator[bytes]:
    """A program document once per POU, holding that POU only."""
    root = etree.parse(path).getroot()
    total = len(root.findall(".//{*}pou"))
    for at in range(total):
        one = copy.deepcopy(root)
        for number, pou in enumerate(one.findall(".//{*}pou")):
            parent = pou.getparent()
            if number != at and parent is not None:
                parent.remove(pou)
        yield etree.tostring(one, xml_declaration=True, encoding="utf-8")


def package(parts: dict[str, bytes]) -> bytes:
    """A zip container with these parts."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as container:
        for name, data in parts.items():
            container.writestr(zipfile.ZipInfo(name), data, zipfile.ZIP_DEFLATED)
    return stream.getvalue()


def workbook(rows: list[list[str]], part: str = "") -> bytes:
    """The smallest .xlsx with one sheet of text cells; ``part`` replaces the XML of the sheet."""
    cells = "".join(
        f'<row r="{r}">'
        + "".join(f'<c r="{chr(65 + c)}{r}" t="inlineStr"><is><t>{v}</t></is></c>' for c, v in enumerate(row))
        + "</row>"
        for r, row in enumerate(rows, 1)
    )
    main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    rel = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
    pack = "http://schemas.openxmlformats.org/package/2006"
    sheet = part or f'<?xml version="1.0"?><worksheet xmlns="{main}"><sheetData>{cells}</sheetData></worksheet>'
    return package(
        {
            "[Content_Types].xml": f'<?xml version="1.0"?><Types xmlns="{pack}/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/></Types>'.encode(),
            "_rels/.rels": f'<?xml version="1.0"?><Relationships xmlns="{pack}/relationships"><Relationship Id="r1" Type="{rel}/officeDocument" Target="xl/workbook.xml"/></Relationships>'.encode(),
            "xl/workbook.xml": f'<?xml version="1.0"?><workbook xmlns="{main}" xmlns:r="{rel}"><sheets><sheet name="Tags" sheetId="1" r:id="r1"/></sheets></workbook>'.encode(),
            "xl/_rels/workbook.xml.rels": f'<?xml version="1.0"?><Relationships xmlns="{pack}/relationships"><Relationship Id="r1" Type="{rel}/worksheet" Target="worksheets/sheet1.xml"/></Relationships>'.encode(),
            "xl/worksheets/sheet1.xml": sheet.encode(),
        }
    )


ROWS = [["Name", "Address", "Type", "Comment"], ["Pump", "%Q0.1", "BOOL", "runs"]]


@lru_cache
def seeds() -> dict[str, bytes]:
    """File name to bytes; every one is read without a problem."""
    hardware = (VISIT / "hardware.aml").read_bytes()
    case = (ROOT / "tests/cases/automationml/intake.aml").read_bytes()
    programs = [*piecewise(VISIT / "program.xml"), *piecewise(BOOSTER / "running/program.xml")]
    return {
        **{f"program{at}.xml": data for at, data in enumerate(programs)},
        "ten.xml": TEN,
        "hardware.aml": hardware,
        "intake.aml": case,
        "intake.amlx": package({"intake.aml": case}),
        "main.st": ST,
        "old.il": IL,
        "chart.st": CHART,
        "tags.csv": TAGS,
        "modules.csv": MODULES,
        "values.csv": VALUES,
        "forces.csv": FORCES,
        "tags.xlsx": workbook(ROWS),
    }
