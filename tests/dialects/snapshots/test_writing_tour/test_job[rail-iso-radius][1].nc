%
(rail-1-drill: program, sheet 1)
G71
G17 G90 G94
G40 G80
G54 G60
(rail: program 1 of 1, sheet 1)
(cutter drill, diameter 3.2 mm)
(sheet gfrp, 4 mm, held by tape)
(zero X left, Y front, Z on the top of the sheet)
(eye protection on, extraction on, hands away)
(machine has no reference switches: zero set? cutter above travel plane?)
M00
G71
G17 G90 G94
G40 G80
G54 G60
(cutter 1 drill: drill D3.2 mm)
T1
(extraction on, set the spindle to 10000 rpm)
M00
G71
G17 G90 G94
G40 G80
G54 G60
S10000 M03
G04 F4.000
G00 Z8.000
X13.000 Y10.000
Z2.000
G01 Z-0.420 F60
G00 Z2.000
G01 Z-2.841
G00 Z2.000
G01 Z-5.261
G00 Z2.000
Z8.000
X47.000
Z2.000
G01 Z-0.420
G00 Z2.000
G01 Z-2.841
G00 Z2.000
G01 Z-5.261
G00 Z2.000
Z8.000
M05
G04 F8.000
M02
