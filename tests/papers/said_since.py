"""What is asked on the papers with what the notation can say since they were typed in."""

# What the notation could not say when the texts were typed in: paper, file, what stands there, what is said since.
SAID_SINCE = [
    ("minibus", "sheet3.circuit", "    asleep 6mA awake 300mA", "    asleep 6mA on 4 awake 300mA on 4"),
    (
        "minibus",
        "sheet6.circuit",
        "wake 6, 7 sense 13 asleep 2mA awake 280mA",
        "wake 6 by opening wake 7 by ground sense 13 asleep 2mA on 2 awake 100mA on 1, 180mA on 2",
    ),
    ("minibus", "sheet3.circuit", "A1 (40, 41), A3 (10, 11), A8 (20, 21),", "A1 (40, 41) drives, A3 (10, 11) drives,"),
    (
        "minibus",
        "sheet3.circuit",
        "A4 (6, 7), A6 (8, 9), A10 (11, 12),",
        "A4 (6, 7) listens, A6 (8, 9) listens, A10 (11, 12) listens,",
    ),
    ("minibus", "sheet3.circuit", "B1 (2), A9 (4)", "B1 (2) listens, A9 (4)"),
    ("loader", "00_lists.circuit", "wake 4, 5 sense 11, 12, 13,", "wake 4 by plus wake 5 by ground sense 11, 12, 13,"),
    (
        "loader",
        "00_lists.circuit",
        "asleep 3mA awake 401mA",
        "asleep 2mA on 1, 1mA on 2 awake 400mA on 1, 1mA on 2",
    ),
    ("loader", "00_lists.circuit", "control EN asleep", "sense EN asleep"),
    ("loader", "00_lists.circuit", "output U1.OUT feeds from IN in P, 1, 2, 3", "output U1.OUT feeds from IN while EN"),
    ("loader", "00_lists.circuit", "output A2.6 feeds from 1", "output A2.6 feeds from 1 while 4"),
    (
        "loader",
        "00_lists.circuit",
        "A1 (17, 18), A2 (17, 18), A4 (20, 21), A5 (7, 8), A6 (4, 5),",
        "A1 (17, 18) drives, A2 (17, 18) drives, A4 (20, 21) drives, A5 (7, 8) listens, A6 (4, 5) listens,",
    ),
    (
        "loader",
        "00_lists.circuit",
        "A2 (19, 20), A3 (12, 13), A4 (22, 23)",
        "A2 (19, 20) drives, A3 (12, 13) listens, A4 (22, 23) drives",
    ),
    (
        "boat",
        "1_distribution.circuit",
        "supply 30 ground 31 sense A, S1, S2 asleep 4mA",
        "supply 30, A ground 31 sense S1, S2 asleep 4mA on 30, 1mA on A",
    ),
    ("boat", "1_distribution.circuit", "ground 31 asleep 6mA", "ground 31 asleep 3mA on V1, 3mA on V2"),
    ("boat", "1_distribution.circuit", "sense L, N, PE asleep 4mA", "sense L, N, PE asleep 2mA on +1, 2mA on +2"),
    ("boat", "6_windlass.circuit", "output U3.UP feeds from 30", "output U3.UP feeds from 30 while UI"),
    ("boat", "6_windlass.circuit", "output U3.DN feeds from 30", "output U3.DN feeds from 30 while DI"),
    (
        "boat",
        "platform.circuit",
        "U1 (CH, CL), U2 (CH, CL), U6 (CH, CL), U4 (CH, CL)",
        "U1 (CH, CL) drives, U2 (CH, CL) listens, U6 (CH, CL) listens, U4 (CH, CL) drives",
    ),
]

FITTED = "--option O1 --option O2 --option V1 --without V2"

# Paper, number of the question, wire taken out (the end of its line), what is asked, what the answer has to say.
WITH_MORE_SAID = [
    (
        "minibus",
        95,
        'code "141"',
        "live --set S17=on --set K9=set",
        ("E36, aisle light strip, 24 W through E8, then E5 or E6",),
    ),
    (
        "minibus",
        104,
        "",
        "live --set S10=open",
        (
            "A7, announcement amplifier awake 400 mA",
            "FB.FB1 370 mA (A4 and A5)",
            "FB.FB2 480 mA (A2 and A6)",
            "FC.FC3 500 mA (A6 and A7)",
            "FA.FA8 11 mA",
        ),
    ),
    ("minibus", 106, "", "live --key inserted", ("AWAKE 6 A2, body controller", "FB.FB1 370 mA", "FB.FB2 480 mA")),
    (
        "loader",
        33,
        "",
        "trace E21 --without B",
        ("sense pin U1.EN, through FM1 and FBA.F3: live in P, 1, 2, 3", "live in P, 1, 2, 3 with S19 on."),
    ),
    ("loader", 34, "", "trace A8 --without B", ("sense pin U1.EN, through FM1 and FBA.F3: live in P, 1, 2, 3",)),
    ("loader", 37, "", "trace Y1 --without B", ("supply A2.4, through FM1 and FBA.F11", "through FM1 and FBA.F16")),
    ("loader", 45, "", "trace E25 --without B", ("A4.5: grounded when S6 is open",)),
    ("loader", 74, "", "live --stuck K2.87 --without B", ("AWAKE 1 A5, display", "H1, charge tell-tale")),
    ("loader", 78, "", "live --key 1 --pull F16 --without B", ("AWAKE 1 A5, display", "A7, climate panel")),
    (
        "loader",
        90,
        "# 5.60",
        "live --key 1 --set S10=2 --without B",
        ("E1, dipped beam left through E3, then E4; or E11, then E13",),
    ),
    (
        "loader",
        91,
        "# 8.23",
        "live --without B",
        ("S7LAMP, lamp in the hazard switch through A4, A5, A6, U1 or X10, then E5, E6, E7 or E8", "then H1"),
    ),
    (
        "loader",
        92,
        "",
        "live --set S6=open --without B",
        ("A3, hydraulics controller awake 150 mA", "A6, telematics awake"),
    ),
    (
        "loader",
        94,
        "# 2.19",
        "live --key 1 --without B",
        ("A3, hydraulics controller awake", "A4, cab controller asleep"),
    ),
    ("loader", 109, "", "live --without B", ("22 mA of that is on the sheets",)),
    ("loader", 110, "", "live --set S1=OFF --without B", ("G 5 mA", "FBA.F1 5 mA (A5 and A6)")),
    (
        "boat",
        36,
        "",
        f"trace K5.86 {FITTED}",
        ("live with S2 on and S40 pressed", "wake pin U3.15, through F1, F9 and FB1.F31"),
    ),
    ("boat", 106, "", f"live --set S2=on --awake U6 {FITTED}", ("U2, instrument hub asleep 10 mA",)),
    ("boat", 119, "", "live --without O1 --option O2 --option V1 --without V2", ("B2 39 mA", "FUSES 12 of 45 live")),
    ("boat", 122, "", f"live {FITTED}", ("B1 7 mA", "B2 44 mA", "F12 30 mA (U10)")),
    ("boat", 123, "", f"live --set S1=on --set S4=1 {FITTED}", ("B1 17 mA", "F40 10 mA (U2)")),
    ("boat", 132, "", f"live --set S2=on {FITTED}", ("B1 7 mA", "B2 85 mA", "FB1.F20 8 mA (U1)")),
]
