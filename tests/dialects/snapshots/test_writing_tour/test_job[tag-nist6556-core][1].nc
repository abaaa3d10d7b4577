(tag-1-drill: program, sheet 1)
G21
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
G0 Z8.000
X16.000 Y18.000
Z2.000
G1 Z-2.551 F60
G0 Z2.000
Z8.000
M5
G4 P10.000
M2
