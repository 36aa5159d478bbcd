"""Lists as they are published, which say nothing of any vehicle: nothing can be taken from them."""

TERMINALS = """\
Terminal\tMeaning
15\tswitched plus, ignition on
15a\toutput of the series resistor
30\tdirect from battery plus
30a\tplus of the second battery
31\treturn line, ground
31b\tswitched minus
49\tflasher, input
49a\tflasher, output
50\tstarter control
53\twiper motor, plus
54\tstop lamp
55\tfront fog lamp
56\theadlamp
56a\tmain beam
56b\tdipped beam
58\tside and tail lamps
61\tcharge lamp
75\tradio, accessories
85\trelay coil, output
86\trelay coil, input
87\tmake contact, output
87a\tbreak contact, output
B+\tbattery plus
D+\tcharge lamp, alternator
"""
"""Designations of DIN 72552 (parts 1 to 4, 1971-03) as public lists have them: kfztech.de, bs-wiki.de."""

GAUGES = """\
AWG   Diameter mm   Area mm2   mOhm/m
10    2.588         5.261      3.277
12    2.053         3.309      5.211
14    1.628         2.081      8.285
16    1.291         1.309      13.17
18    1.024         0.823      20.95
20    0.812         0.518      33.31
22    0.644         0.326      52.96
"""
"""ASTM B258: areas and resistances worked out by its formula, diameters by 0.127 mm x 92^((36-n)/39)."""

SIZES = """\
mm2;mOhm/m
0,5;39,0
0,75;26,0
1;19,5
1,5;13,3
2,5;7,98
4;4,95
6;3,30
10;1,91
16;1,21
25;0,780
"""
"""IEC 60228, class 5, plain copper, at most, 20 C."""

PARTS = """\
Designation;Name;Location
A12;Heater control unit;under the dash, left
B4;Coolant sensor;cylinder head
E20;Headlamp, left;front
F7;Main fuse;battery tray
K7;Horn relay;fuse box
M3;Blower motor;behind the glove box
S5;Door contact;driver's door pillar
X14;Connector cab to chassis;below the left headlamp
Y2;Shut-off valve;injection pump
"""
"""Invented; laid out as the lists of parts are that go with wiring diagrams (common practice, no source)."""
