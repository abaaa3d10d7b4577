(rail-1-drill: program, sheet 1)
G21
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
G21
G17 G90 G94
G40 G49 G80
G54 G61
(cutter 1 drill: drill D3.2 mm)
T1
(extraction on, set the spindle to 10000 rpm)
M0
G21
G17 G90 G94
G40 G49 G80
G54 G61
M3 S10000
G4 P4.000
G0 Z8.000
X13.000 Y10.000
Z2.000
G1 Z-0.420 F60
G0 Z2.000
G1 Z-2.841
G0 Z2.000
G1 Z-5.261
G0 Z2.000
Z8.000
X47.000
Z2.000
G1 Z-0.420
G0 Z2.000
G1 Z-2.841
G0 Z2.000
G1 Z-5.261
G0 Z2.000
Z8.000
M5
G4 P8.000
M2
