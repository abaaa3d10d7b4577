(tag-1-drill: program, sheet 1)
G20
G17 G90 G94
G40 G49 G80
G54 G61
(tag: program 1 of 2, sheet 1)
(cutter drill, diameter 2.5 mm)
(sheet gfrp, 1.5 mm, held by tape)
(zero X left, Y front, Z on the top of the sheet)
(eye protection on, extraction on, hands away)
(cutter 1 drill: drill D2.5 mm)
T1
M3 S8000
G4 P5.000
G0 Z0.31496
X0.62992 Y0.70866
Z0.07874
G1 Z-0.10044 F2.36
G0 Z0.07874
Z0.31496
M5
G4 P10.000
M2
