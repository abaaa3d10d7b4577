(tag-1-drill-mill: program, sheet 1)
G21
G17 G90 G94
G40 G49 G80
G54 G61
(tag: program 1 of 1, sheet 1)
(cutter drill, diameter 2.5 mm)
(cutter mill, diameter 2 mm)
(sheet gfrp, 1.5 mm, held by tape)
(zero X left, Y front, Z on the top of the sheet)
(eye protection on, extraction on, hands away)
(cutter 1 drill: drill D2.5 mm)
T1
M3 S8000
G4 P5.000
G0 Z8.000
X16.000 Y18.000
Z2.000
G1 Z-2.551 F60
G0 Z2.000
Z8.000
M5
G4 P10.000
(fit T2 mill: end mill D2 mm, touch Z off with it)
M0
G21
G17 G90 G94
G40 G49 G80
G54 G61
T2
M3 S24000
G4 P5.000
G0 Z8.000
X25.000 Y9.000
Z2.000
G1 Z0.000 F50
X13.000 Z-0.629 F500
G2 X11.000 Y11.000 Z-0.794 R2.001
G1 Y25.000 Z-1.527
G2 X13.000 Y27.000 Z-1.692 R2.001
G1 X15.063 Z-1.800
X37.000
G2 X39.000 Y25.000 R2.001
G1 Y11.000
G2 X37.000 Y9.000 R2.001
G1 X13.000
G2 X11.000 Y11.000 R2.001
G1 Y25.000
G2 X13.000 Y27.000 R2.001
G1 X15.063
G0 Z8.000
M5
G4 P10.000
M2
