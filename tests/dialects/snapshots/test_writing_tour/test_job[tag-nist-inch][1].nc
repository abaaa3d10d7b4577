(tag-1-drill-mill: program, sheet 1)
G20
G17 G90 G94
G40 G49 G80
G54 G61
(tag: program 1 of 1, sheet 1)
(cutter drill, diameter 2.5 mm)
(cutter mill, diameter 2 mm)
(sheet gfrp, 1.5 mm, held by tape)
(zero X left, Y front, Z on the top of the sheet)
(eye protection on, extraction on, hands away)
(cutter 1 drill: drill D2.5 mm)
T1
M3 S8000
G4 P5.000
G0 Z0.3150
X0.6299 Y0.7087
G98 G81 X0.6299 Y0.7087 Z-0.1004 R0.0787 F2.36
G80
M5
G4 P10.000
(fit T2 mill: end mill D2 mm, touch Z off with it)
M0
G20
G17 G90 G94
G40 G49 G80
G54 G61
T2
M3 S24000
G4 P5.000
G0 Z0.3150
X0.9843 Y0.3543
Z0.0787
G1 Z0.0000 F1.96
X0.5118 Z-0.0248 F19.68
G2 X0.4331 Y0.4331 Z-0.0312 I0.0001 J0.0788
G1 Y0.9843 Z-0.0601
G2 X0.5118 Y1.0630 Z-0.0666 I0.0787 J0.0000
G1 X0.5930 Z-0.0709
X1.4567
G2 X1.5354 Y0.9843 I0.0000 J-0.0787
G1 Y0.4331
G2 X1.4567 Y0.3543 I-0.0788 J0.0000
G1 X0.5118
G2 X0.4331 Y0.4331 I0.0001 J0.0788
G1 Y0.9843
G2 X0.5118 Y1.0630 I0.0787 J0.0000
G1 X0.5930
G0 Z0.3150
M5
G4 P10.000
M2
