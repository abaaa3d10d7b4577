%
(tag-1-drill-mill: program, sheet 1)
G71
G17 G90 G94
G40 G80
G54 G60
(tag: program 1 of 1, sheet 1)
(cutter drill, diameter 2.5 mm)
(cutter mill, diameter 2 mm)
(sheet gfrp, 1.5 mm, held by tape)
(zero X left, Y front, Z on the top of the sheet)
(eye protection on, extraction on, hands away)
(cutter 1 drill: drill D2.5 mm)
T1
S8000 M03
G04 F5.000
G00 Z8.000
X16.000 Y18.000
Z2.000
G01 Z-2.551 F60
G00 Z2.000
Z8.000
M05
G04 F10.000
(fit T2 mill: end mill D2 mm, touch Z off with it)
M00
G71
G17 G90 G94
G40 G80
G54 G60
T2
S24000 M03
G04 F5.000
G00 Z8.000
X25.000 Y9.000
Z2.000
G01 Z0.000 F50
X13.000 Z-0.629 F500
G02 X11.000 Y11.000 Z-0.794 R2.001
G01 Y25.000 Z-1.527
G02 X13.000 Y27.000 Z-1.692 R2.001
G01 X15.063 Z-1.800
X37.000
G02 X39.000 Y25.000 R2.001
G01 Y11.000
G02 X37.000 Y9.000 R2.001
G01 X13.000
G02 X11.000 Y11.000 R2.001
G01 Y25.000
G02 X13.000 Y27.000 R2.001
G01 X15.063
G00 Z8.000
M05
G04 F10.000
M02
