%
(rail-1-drill: program, sheet 1)
N10 G21
N20 G17 G90 G94
N30 G40 G49 G80
N40 G56 G61
(rail: program 1 of 1, sheet 1)
(cutter drill, diameter 3.2 mm)
(sheet gfrp, 4 mm, held by tape)
(zero X left, Y front, Z on the top of the sheet)
(eye protection on, extraction on, hands away)
(machine has no reference switches: zero set? cutter above travel plane?)
N50 M0
N60 G21
N70 G17 G90 G94
N80 G40 G49 G80
N90 G56 G61
(cutter 1 drill: drill D3.2 mm)
N100 T1
(extraction on, set the spindle to 10000 rpm)
N110 M0
N120 G21
N130 G17 G90 G94
N140 G40 G49 G80
N150 G56 G61
N160 M3 S10000
N170 G4 P4.000
N180 G0 Z8.000
N190 X13.000 Y10.000
N200 Z2.000
N210 G1 Z-0.420 F60
N220 G0 Z2.000
N230 G1 Z-2.841
N240 G0 Z2.000
N250 G1 Z-5.261
N260 G0 Z2.000
N270 Z8.000
N280 X47.000
N290 Z2.000
N300 G1 Z-0.420
N310 G0 Z2.000
N320 G1 Z-2.841
N330 G0 Z2.000
N340 G1 Z-5.261
N350 G0 Z2.000
N360 Z8.000
N370 M5
N380 G4 P8.000
N390 M2
%
