(rail-1-drill: program, sheet 1)
G20
G17 G90 G94
G40 G49 G80
G54 G61
(rail: program 1 of 1, sheet 1)
(cutter drill, diameter 3.2 mm)
(sheet gfrp, 4 mm, held by tape)
(zero X left, Y front, Z on the top of the sheet)
(eye protection on, extraction on, hands away)
(machine has no reference switches: zero set? cutter above travel plane?)
M0
G20
G17 G90 G94
G40 G49 G80
G54 G61
(cutter 1 drill: drill D3.2 mm)
T1
(extraction on, set the spindle to 10000 rpm)
M0
G20
G17 G90 G94
G40 G49 G80
G54 G61
M3 S10000
G4 P4.000
G0 Z0.31496
X0.51181 Y0.39370
Z0.07874
G1 Z-0.01655 F2.36
G0 Z0.07874
G1 Z-0.11185
G0 Z0.07874
G1 Z-0.20714
G0 Z0.07874
Z0.31496
X1.85039
Z0.07874
G1 Z-0.01655
G0 Z0.07874
G1 Z-0.11185
G0 Z0.07874
G1 Z-0.20714
G0 Z0.07874
Z0.31496
M5
G4 P8.000
M2
