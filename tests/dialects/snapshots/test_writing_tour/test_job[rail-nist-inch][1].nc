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
G0 Z0.3150
X0.5118 Y0.3937
Z0.0787
G1 Z-0.0166 F2.36
G0 Z0.0787
G1 Z-0.1118
G0 Z0.0787
G1 Z-0.2071
G0 Z0.0787
Z0.3150
X1.8504
Z0.0787
G1 Z-0.0166
G0 Z0.0787
G1 Z-0.1118
G0 Z0.0787
G1 Z-0.2071
G0 Z0.0787
Z0.3150
M5
G4 P8.000
M2
