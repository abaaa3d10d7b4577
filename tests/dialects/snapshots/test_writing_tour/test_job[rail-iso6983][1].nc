%
(rail-1-drill: program, sheet 1)
N10 G71
N20 G17 G90 G94
N30 G40 G80
N40 G54 G60
(rail: program 1 of 1, sheet 1)
(cutter drill, diameter 3.2 mm)
(sheet gfrp, 4 mm, held by tape)
(zero X left, Y front, Z on the top of the sheet)
(eye protection on, extraction on, hands away)
(machine has no reference switches: zero set? cutter above travel plane?)
N50 M00
N60 G71
N70 G17 G90 G94
N80 G40 G80
N90 G54 G60
(cutter 1 drill: drill D3.2 mm)
N100 T1
(extraction on, set the spindle to 10000 rpm)
N110 M00
N120 G71
N130 G17 G90 G94
N140 G40 G80
N150 G54 G60
N160 S10000 M03
N170 G04 X4.000
N180 G00 Z8.000
N190 X13.000 Y10.000
N200 Z2.000
N210 G01 Z-0.420 F60
N220 G00 Z2.000
N230 G01 Z-2.841
N240 G00 Z2.000
N250 G01 Z-5.261
N260 G00 Z2.000
N270 Z8.000
N280 X47.000
N290 Z2.000
N300 G01 Z-0.420
N310 G00 Z2.000
N320 G01 Z-2.841
N330 G00 Z2.000
N340 G01 Z-5.261
N350 G00 Z2.000
N360 Z8.000
N370 M05
N380 G04 X8.000
N390 M02
