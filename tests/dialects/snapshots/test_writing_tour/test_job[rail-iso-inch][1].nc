%
(rail-1-drill: program, sheet 1)
N10 G70
N20 G17 G90 G94
N30 G40 G80
N40 G55 G60
(rail: program 1 of 1, sheet 1)
(cutter drill, diameter 3.2 mm)
(sheet gfrp, 4 mm, held by tape)
(zero X left, Y front, Z on the top of the sheet)
(eye protection on, extraction on, hands away)
(machine has no reference switches: zero set? cutter above travel plane?)
N50 M00
N60 G70
N70 G17 G90 G94
N80 G40 G80
N90 G55 G60
(cutter 1 drill: drill D3.2 mm)
N100 T1
(extraction on, set the spindle to 10000 rpm)
N110 M00
N120 G70
N130 G17 G90 G94
N140 G40 G80
N150 G55 G60
N160 S10000 M03
N170 G04 X4.000
N180 G00 Z0.3150
N190 X0.5118 Y0.3937
N200 Z0.0787
N210 G01 Z-0.0166 F2.36
N220 G00 Z0.0787
N230 G01 Z-0.1118
N240 G00 Z0.0787
N250 G01 Z-0.2071
N260 G00 Z0.0787
N270 Z0.3150
N280 X1.8504
N290 Z0.0787
N300 G01 Z-0.0166
N310 G00 Z0.0787
N320 G01 Z-0.1118
N330 G00 Z0.0787
N340 G01 Z-0.2071
N350 G00 Z0.0787
N360 Z0.3150
N370 M05
N380 G04 X8.000
N390 M02
