(tag-2-mill: program, sheet 1)
G21
G17 G90 G94
G40 G49 G80
G54 G61
(tag: program 2 of 2, sheet 1)
(cutter mill, diameter 2 mm)
(sheet gfrp, 1.5 mm, held by tape)
(zero X left, Y front, Z on the top of the sheet)
(eye protection on, extraction on, hands away)
(cutter 2 mill: end mill D2 mm)
T2
M3 S24000
G4 P5.000
G0 Z8.000
X25.000 Y9.000
Z2.000
G1 Z0.000 F50
X13.000 Z-0.629 F500
G2 X11.000 Y11.000 Z-0.794 I0.001 J2.001
G1 Y25.000 Z-1.527
G2 X13.000 Y27.000 Z-1.692 I2.001 J-0.001
G1 X15.063 Z-1.800
X37.000
G2 X39.000 Y25.000 I-0.001 J-2.001
G1 Y11.000
G2 X37.000 Y9.000 I-2.001 J0.001
G1 X13.000
G2 X11.000 Y11.000 I0.001 J2.001
G1 Y25.000
G2 X13.000 Y27.000 I2.001 J-0.001
G1 X15.063
G0 Z8.000
M5
G4 P10.000
M2
