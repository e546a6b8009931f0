#!/usr/bin/env python3
"""Writes second-english.jsonl: a labelled guard set of figures as English-language aircraft and aero-engine papers print them.

  python3 build_english.py [--vocabulary vocabulary.json] [--out second-english.jsonl]

Every maker, type, engine, unit and person is invented. Each item is a text with its figures between ⟦ and ⟧, and one label
line per figure, in the order of the text:

  value unit | parameter | condition | options

value: 12 (nominal), <12 (max), >12 (min), ~12 (approx), 60..80 (range), 410+-10 (tolerance), 2400:2350..2400 (one-sided),
       ? (cannot be known). A condition '-' is none stated. Options: t300 (time limit that governs the figure, s),
       D (damaged), r0.5 (resolution, where it cannot be taken from the figure as printed).
"""
import argparse, json, os, re, sys
from fractions import Fraction

UNITS = {  # alias -> (code, kind)
    'psi': ('[psi]', 'pressure'), 'inHg': ("[in_i'Hg]", 'pressure'), 'inH2O': ("[in_i'H2O]", 'pressure'), 'kgcm': ('kgf/cm2', 'pressure'),
    'atm': ('atm', 'pressure'), 'rpm': ('{rev}/min', 'rotational_speed'), 'C': ('Cel', 'temperature'), 'F': ('[degF]', 'temperature'),
    'mph': ('[mi_i]/h', 'speed'), 'kn': ('[kn_i]', 'speed'), 'kmh': ('km/h', 'speed'), 'fpm': ('[ft_i]/min', 'speed'), 'galb': ('[gal_br]', 'volume'),
    'galu': ('[gal_us]', 'volume'), 'qtu': ('[qt_us]', 'volume'), 'L': ('L', 'volume'), 'cin': ('[cin_i]', 'volume'), 'gbh': ('[gal_br]/h', 'volume_flow'),
    'guh': ('[gal_us]/h', 'volume_flow'), 'gum': ('[gal_us]/min', 'volume_flow'), 'pth': ('[pt_br]/h', 'volume_flow'), 'lb': ('[lb_av]', 'mass'), 'kg': ('kg', 'mass'),
    'cwt': ('[lcwt_av]', 'mass'), 'lbh': ('[lb_av]/h', 'mass_flow'), 'hp': ('[HP]', 'power'), 'W': ('W', 'power'), 'lbhph': ('[lb_av]/[HP]/h', 'specific_consumption'),
    'pthph': ('[pt_br]/[HP]/h', 'specific_consumption'), 'in': ('[in_i]', 'length'), 'mil': ('[mil_i]', 'length'), 'mm': ('mm', 'length'), 'mi': ('[mi_i]', 'length'),
    'ft': ('[ft_i]', 'altitude'), '%': ('%', 'ratio'), '1': ('1', 'ratio'), 'deg': ('deg', 'angle'), 's': ('s', 'time'), 'min': ('min', 'time'), 'h': ('h', 'time'),
    'V': ('V', 'voltage'), 'A': ('A', 'current'), 'Ah': ('A.h', 'other'), 'Hz': ('Hz', 'other'), 'g': ('[g]', 'other'), 'mpg': ('[mi_i]/[gal_br]', 'other'),
    'ftlb': ('[lbf_av].[ft_i]', 'torque'), 'inlb': ('[lbf_av].[in_i]', 'torque'), 'lbf': ('[lbf_av]', 'force'),
    'lbgb': ('[lb_av]/[gal_br]', 'density'), 'lbgu': ('[lb_av]/[gal_us]', 'density')}
DATUM, ABSOLUTE = {'boost'}, {'manifold pressure', 'intake pressure', 'barometric pressure'}
DIFFERENTIAL = {'suction', 'cabin differential pressure', 'baffle pressure drop'}
FORMLESS = {'boost correction', 'manifold pressure change', 'oil pressure change', 'brake mean effective pressure', 'barometric pressure interval',
            'pressure used'}
VULGAR = {'¼': 4, '½': 2, '¾': 4, '⅛': 8, '⅜': 8, '⅝': 8, '⅞': 8, '⅓': 3, '⅔': 3}
ITEMS = []


def british(text, labels=''): ITEMS.append(('british', text, labels))
def american(text, labels=''): ITEMS.append(('american', text, labels))
def unknown(text, labels=''): ITEMS.append(('unknown', text, labels))


# <items>
# ---------------------------------------------------------------- British: prose, drills, letters, speech, damage
british("""For the run-up bring each Gimlet to ⟦zero⟧ boost and work the airscrew lever through its travel twice; the revs. should sink by about ⟦400⟧ and be back again inside ⟦3 seconds⟧.""", """
0 psi | boost | run-up | r1
~400 rpm | engine speed change | run-up
<3 s | duration | run-up
""")
british("""In emergency, with the cut-out pulled, the Stannery Gimlet XI will give ⟦+14½ lb./sq.in.⟧ at ⟦2,750 r.p.m.⟧ for ⟦three minutes⟧ and no longer; for an ordinary take-off the gate stops you at ⟦+8¾⟧.""", """
<14.5 psi | boost | emergency | t180
<2750 rpm | engine speed | emergency | t180
<3 min | time limit | emergency | r1
<8.75 psi | boost | take-off
""")
british("""Before stopping, let her tick over at ⟦800 to 900 r.p.m.⟧ until the heads have come down to ⟦150°⟧ or less, and in any event for not under ⟦two minutes⟧.""", """
800..900 rpm | engine speed | cooling before stop
<150 C | cylinder head temperature | cooling before stop
>2 min | duration | cooling before stop | r1
""")
british("""Tyres, all in lb. per sq. in. and the machine standing level at full load: mains ⟦48⟧, tail ⟦37⟧. Paint the valve caps red.""", """
48 psi | tyre pressure | main wheels
37 psi | tyre pressure | tail wheel
""")
british("""OXYGEN. Cylinders when newly charged show ⟦1,800 lb. per sq. in.⟧; as soon as the needle has sunk to ⟦400⟧, come down below ⟦10,000 feet⟧ and stay there.""", """
1800 psi | oxygen pressure | full bottle
400 psi | oxygen pressure | -
<10000 ft | altitude | -
""")
british("""Vacuum. At ⟦1,400 r.p.m.⟧ the gauge is to show not less than ⟦3¾ in. Hg.⟧; from ⟦2,000⟧ upwards, ⟦4½ ± ¼⟧.""", """
1400 rpm | engine speed | -
>3.75 inHg | suction | -
>2000 rpm | engine speed | -
4.5+-0.25 inHg | suction | - | r0.25
""")
british("""Triple gauge: pneumatic supply ⟦300 lb./sq.in.⟧ top centre; brake pressure at each wheel with the lever hard over ⟦85 to 90⟧.""", """
300 psi | pneumatic pressure | -
85..90 psi | brake pressure | -
""")
british("""Sir, - With reference to yours of the 14th ult., the slow-running of the Pellow Anvil should be set at ⟦550 revs.⟧ with the throttle right home. Petrol pressure at the carburetter wants to be ⟦2¼ lb.⟧ measured with the wobble pump going.""", """
550 rpm | engine speed | idling
2.25 psi | fuel pressure | -
""")
british("""well you'd let her warm up at ⟦a thousand⟧ till the oil showed ⟦fifteen⟧ and the heads ⟦a hundred and twenty⟧ and only then would you go to ⟦plus two⟧ for the mag check""", """
1000 rpm | engine speed | warm-up | r1000
>15 C | oil temperature | warm-up | r1
>120 C | cylinder head temperature | warm-up | r10
2 psi | boost | magneto check | r1
""")
british("""never more than ⟦a hundred and fifty revs⟧ drop on either mag that was the flight sergeant's rule and with clean plugs she'd generally give you ⟦sixty⟧""", """
<150 rpm | magneto drop | - | r10
60 rpm | magneto drop | - | r10
""")
british("""A momentary loss of ⟦10 to 15 lb./sq.in.⟧ in oil pressure as the supercharger clutch goes over is of no consequence, but if it has not come back within ⟦half a minute⟧ return to M.""", """
10..15 psi | oil pressure change | gear change
<0.5 min | duration | gear change | r0.5
""")
british("""Port and starboard inner tanks ⟦96½ galls.⟧ each, outers ⟦41⟧ each; the overload tank, when carried, holds ⟦150 galls.⟧ All tanks are self-sealing except the last.""", """
96.5 galb | fuel capacity | inner tanks
41 galb | fuel capacity | outer tanks
150 galb | fuel capacity | overload tank
""")
british("""Weight empty ⟦63 cwt. 1 qr. 18 lb.⟧; fuel and oil ⟦17 cwt. 3 qrs.⟧; the machine loaded is not to turn the scale at more than ⟦84 cwt. 21 lb.⟧""", """
63+1/4+18/112 cwt | weight | empty | r1/112
17+3/4 cwt | weight | fuel and oil | r0.25
<84+21/112 cwt | weight | loaded | r1/112
""")
british("""The Lapwade's wheels come down at anything under ⟦155 knots⟧ and her flaps under ⟦125⟧. Hold ⟦95⟧ on the final approach; if baulked, climb away at ⟦110 knots⟧ and let the flaps up in two bites.""", """
<155 kn | airspeed | undercarriage down
<125 kn | airspeed | flaps down
95 kn | airspeed | final approach
110 kn | airspeed | climb
""")
british("""In the dive: speed, ⟦385 m.p.h.⟧ A.S.I. at most; revs., ⟦3,150⟧ at most for ⟦15 secs.⟧; throttle set to keep at least ⟦-3 lb./sq.in.⟧ on the gauge so that the cylinders do not chill.""", """
<385 mph | airspeed | dive
<3150 rpm | engine speed | dive | t15
<15 s | time limit | dive
>-3 psi | boost | dive
""")
british("""Rocker clearances with the engine stone cold: inlet ⟦10 thou.⟧, exhaust ⟦16⟧. Contact breaker points ⟦.012 in. ± .001 in.⟧; sparking plugs ⟦.015 in.⟧""", """
10 mil | valve clearance | inlet
16 mil | valve clearance | exhaust
0.012+-0.001 in | contact breaker gap | -
0.015 in | spark plug gap | -
""")
british("""Leading particulars (contd.). Bore ⟦5·75 in.⟧; stroke ⟦7 in.⟧; swept volume ⟦1,636 cu. in.⟧; compression ratio ⟦6·25 to 1⟧; airscrew reduction gear ⟦·444 : 1⟧; magnetos fire ⟦34½° before T.D.C.⟧ when fully advanced.""", """
5.75 in | bore | -
7 in | stroke | -
1636 cin | swept volume | -
6.25 1 | compression ratio | - | r0.01
0.444 1 | gear ratio | - | r0.001
34.5 deg | ignition timing | fully advanced
""")
british("""The generators hold between ⟦27½ and 29 volts⟧ with both engines above ⟦1,600 r.p.m.⟧; a reading of more than ⟦60 amps.⟧ on either ammeter means a fault in the galley circuit.""", """
27.5..29 V | voltage | generator
>1600 rpm | engine speed | generator
<60 A | current | fault
""")
british("""Reckon on ⟦54 gallons an hour⟧ rich and ⟦39½⟧ weak. To this add ⟦6 gallons⟧ used in taxying and ⟦11 gallons⟧ in the climb to ⟦8,000 ft.⟧""", """
54 gbh | fuel consumption | rich cruising
39.5 gbh | fuel consumption | weak cruising
6 galb | fuel used | taxying
11 galb | fuel used | climb
8000 ft | altitude | climb
""")
british("""Cruising at ⟦150 knots⟧ the Sallow does ⟦4.6 air miles per gallon⟧, at ⟦180⟧ only ⟦3.9⟧; ⟦212 gallons⟧ will therefore last ⟦6¼ hours⟧ at the lower speed.""", """
150 kn | airspeed | cruise
4.6 mpg | fuel economy | cruise
180 kn | airspeed | cruise
3.9 mpg | fuel economy | cruise
212 galb | fuel quantity | cruise
6.25 h | endurance | cruise
""")
british("""Oil inlet: ⟦85°C.⟧ maximum (up to ⟦90°C.⟧ may be accepted for ⟦20 minutes⟧ on the climb; ⟦65°/75°⟧ desirable).""", """
<85 C | oil inlet temperature | -
<90 C | oil inlet temperature | climb | t1200
<20 min | time limit | climb
65..75 C | oil inlet temperature | desired
""")
british("""No take-off with oil under ⟦20° C.⟧ or coolant under ⟦65° C.⟧ In emergency ⟦+5°⟧ and ⟦45°⟧ respectively will be tolerated.""", """
>20 C | oil temperature | take-off
>65 C | coolant temperature | take-off
>5 C | oil temperature | emergency
>45 C | coolant temperature | emergency
""")
british("""The engine-driven hydraulic pump is relieved of its load by the automatic valve, cut-out ⟦1,300 ± 50 lb. per sq. in.⟧, cut-in ⟦1,050⟧; the relief valve lifts at ⟦1,600⟧.""", """
1300+-50 psi | hydraulic pressure | cut-out
1050 psi | hydraulic pressure | cut-in
1600 psi | hydraulic pressure | relief valve
""")
british("""On bench test the rotary gave ⟦112 B.H.P.⟧ at ⟦1,190 r.p.m.⟧ and got through ⟦10½ gallons⟧ of petrol and ⟦14 pints⟧ of castor oil in the hour.""", """
112 hp | power | bench test
1190 rpm | engine speed | bench test
10.5 gbh | fuel consumption | bench test
14 pth | oil consumption | bench test
""")
british("""Oil press. in normal running ⟦7O-8O lbs. per sq, in.⟧; on no account less than ⟦4S lbs.⟧""", """
70..80 psi | oil pressure | normal running | D
>45 psi | oil pressure | - | D
""")
british("""Oleo legs: main, ⟦625 lb./sq.in.⟧ with the struts fully extended; tail leg ⟦290⟧. See that the gland nuts are dry.""", """
625 psi | shock strut pressure | main legs
290 psi | shock strut pressure | tail leg
""")
british("""YOUR 114 STOP SCARFELL OIL PRESSURE NOT LESS THAN ⟦SIXTY FIVE POUNDS⟧ AT ⟦TWENTY FOUR HUNDRED REVS⟧ STOP INLET NOT ABOVE ⟦EIGHTY CENTIGRADE⟧ STOP LETTER FOLLOWS""", """
>65 psi | oil pressure | - | r1
2400 rpm | engine speed | - | r100
<80 C | oil inlet temperature | - | r10
""")
british("""After ⟦40 hours⟧ flying the filters are to be drawn and washed; complete overhaul falls due at ⟦360 hours⟧ (Form 7103 to be raised).""", """
40 h | inspection interval | -
360 h | time between overhauls | -
""")
british("""Running-in: the first ⟦5 hours⟧ at not above ⟦2,000 r.p.m.⟧ and ⟦-1 lb./sq. in.⟧ boost; thereafter as the book.""", """
5 h | running-in period | running in
<2000 rpm | engine speed | running in
<-1 psi | boost | running in
""")
british("""Feathering takes ⟦8 to 10 seconds⟧; current while the pump runs may touch ⟦170 amps.⟧ Keep ⟦2½ gallons⟧ of oil in the tank as the feathering reserve.""", """
8..10 s | duration | feathering
<170 A | current | feathering
2.5 galb | reserve | feathering
""")
british("""In icing conditions the carburetter air is to be kept at not less than ⟦+4° C.⟧, and with HOT selected must not pass ⟦38° C.⟧""", """
>4 C | carburettor air temperature | icing conditions
<38 C | carburettor air temperature | icing conditions
""")
british("""Add ⟦½ lb./sq. in.⟧ boost for every ⟦10° C.⟧ by which the air is hotter than ⟦15° C.⟧""", """
0.5 psi | boost correction | -
10 C | temperature interval | -
15 C | outside air temperature | -
""")
british("""Climb at ⟦140 knots⟧ to ⟦15,000 ft.⟧, then knock off ⟦1 knot⟧ per ⟦1,000 ft.⟧; rate of climb at sea level ⟦1,650 ft./min.⟧ falling to ⟦900⟧ at the top.""", """
140 kn | airspeed | climb
15000 ft | altitude | climb
1 kn | airspeed change | climb
1000 ft | altitude interval | climb
1650 fpm | rate of climb | climb
900 fpm | rate of climb | climb
""")
british("""After landing with the radiators hot, run at ⟦700/800 revs.⟧ till the coolant drops to ⟦100° C.⟧ before pulling the slow-running cut-out.""", """
700..800 rpm | engine speed | cooling before stop
100 C | coolant temperature | cooling before stop
""")
british("""The ground crew dilute for ⟦1½ mins.⟧ above freezing and ⟦4 mins.⟧ below ⟦-10° C.⟧, fuel pressure at ⟦3 lb.⟧ all the while.""", """
1.5 min | oil dilution time | -
4 min | oil dilution time | -
<-10 C | outside air temperature | oil dilution
3 psi | fuel pressure | oil dilution
""")
british("""Priming strokes (number): summer, three; winter, five; hard frost, eight. Cartridges: No. 2 Mk. IV only. Indent on Form 7290 for spares.""")
british("""Issued with A.L. 9 to A.P. 9941B, April, 1944. Insert at para. 31, cancelling pp. 12-15; Mods. 208, 211 and 317 refer.""")
british("""The third prototype (RK 1448) flew on 6th March, 1946 from Dunholt with Anvil 12s numbered 20177 and 20181; 100 octane was burnt throughout.""")
british("""Throttle to the half-way stop, pitch fully fine, trimmer two divisions tail-heavy, cowl gills one-third open, and away you go.""")
british("""Cabin. The blower holds a cabin altitude of ⟦8,000 feet⟧ until the differential reaches ⟦4¼ lb./sq.in.⟧; the safety valve blows at ⟦4¾⟧.""", """
8000 ft | cabin altitude | -
4.25 psi | cabin differential pressure | -
4.75 psi | cabin differential pressure | relief valve
""")
british("""JET ENGINE HANDLING. Light-up: j.p.t. may touch ⟦750° C.⟧ for ⟦2 secs.⟧ when starting. Idle at ⟦4,200 ± 100 r.p.m.⟧ Take-off not to go above ⟦10,250 r.p.m.⟧ or ⟦665° C.⟧""", """
<750 C | jet pipe temperature | starting | t2
<2 s | time limit | starting
4200+-100 rpm | engine speed | idling
<10250 rpm | engine speed | take-off
<665 C | jet pipe temperature | take-off
""")
british("""Above ⟦20,000 ft.⟧ the maximum r.p.m. on the Hathern jet are reduced to ⟦9,900⟧ and burner pressure must not drop under ⟦55 lb./sq.in.⟧""", """
20000 ft | altitude | -
<9900 rpm | engine speed | -
>55 psi | burner pressure | -
""")
british("""Starting a cold Anvil: press both buttons together, but release after ⟦20 seconds⟧ whether she fires or not, and give the motor at least ⟦a full minute⟧ to cool between starts. More than five tries means a visit from the electrician.""", """
<20 s | starter operating time | -
>1 min | starter rest time | between starts | r1
""")
british("""Relight: below ⟦20,000 feet⟧, between ⟦170 and 200 knots⟧, and nothing hotter than ⟦600 deg. C.⟧ on the pipe.""", """
<20000 ft | altitude | relight
170..200 kn | airspeed | relight
<600 C | jet pipe temperature | relight
""")
british("""TORQUE LOADING. Cylinder holding-down nuts ⟦450 lb. in.⟧; big-end bolts by stretch, ⟦.0065 in. +.0005 -0⟧; airscrew hub nut ⟦625 ft. lb.⟧ with a tommy bar.""", """
450 inlb | tightening torque | cylinder nuts
0.0065:0.0065..0.007 in | bolt stretch | big-end bolts | r0.0001
625 ftlb | tightening torque | airscrew hub nut
""")
british("""Petrol, fuel grade 2, weighs ⟦7·3 lb. per gallon⟧ and oil ⟦9 lb.⟧, so that full tanks put ⟦1,533 lb.⟧ on the machine.""", """
7.3 lbgb | density | - | r0.1
9 lbgb | density | oil
1533 lb | weight | full
""")
british("""She stalled at ⟦74 knots⟧ clean and ⟦61⟧ with flaps full, the nose dropping gently; weight at the time ⟦11,250 lb.⟧""", """
74 kn | stalling speed | clean
61 kn | stalling speed | flaps full
11250 lb | weight | stall
""")
british("""Single-engined flying: keep up not less than ⟦120 m.p.h.⟧ with one engine out, ⟦2,600 r.p.m.⟧ and ⟦+6 lb.⟧ on the good one for as long as the cylinders stay under ⟦270° C.⟧""", """
>120 mph | airspeed | one engine out
2600 rpm | engine speed | one engine out
6 psi | boost | one engine out
<270 C | cylinder head temperature | one engine out
""")
british("""de-icing tank holds ⟦7 galls⟧; with the rheostat at SLOW it gives ⟦3 pts. per hr.⟧ to each screw and at FAST ⟦8½⟧""", """
7 galb | anti-icing fluid capacity | -
3 pth | anti-icing fluid flow | -
8.5 pth | anti-icing fluid flow | -
""")
british("""Coolant is ⟦30%⟧ ethylene glycol by volume, the rest water; system holds ⟦13½ gallons⟧; header relief valve blows off at ⟦20 lb. per sq.
in.⟧ above the outside air.""", """
30 % | coolant mixture | glycol
13.5 galb | coolant capacity | -
20 psi | coolant system pressure | relief valve | r1
""")
british("""The pump delivers at ⟦12-14 lbs. per sq.
in.⟧; the warning lamp lights when the fuel pressure drops to ⟦9 lbs. per
sq. in.⟧""", """
12..14 psi | fuel pressure | -
9 psi | fuel pressure | warning light
""")
british("""Extract from the Umbrel card (faint carbon) : take-off ⟦2,8OO r.p.m.⟧ ⟦-f 7 1b/sq.in.⟧, climb ⟦2,6OO r.p.m.⟧ ⟦t 4 lb/sq.in.⟧""", """
<2800 rpm | engine speed | take-off | D
<7 psi | boost | take-off | D r1
<2600 rpm | engine speed | climb | D
<4 psi | boost | climb | D
""")
british("""Coolant outlet in the climb not above ⟦12OoC⟧; oil ⟦900C⟧ at most.""", """
<120 C | coolant outlet temperature | climb | D
<90 C | oil temperature | climb | D
""")
british("""Max. climb ⟦2,85O rpm⟧ and ⟦plus 9 1/2 lbs⟧ boost for ⟦half an hour⟧, coolant ⟦l25 deg. C.⟧ not to be passed.""", """
<2850 rpm | engine speed | climb | t1800 D
<9.5 psi | boost | climb | t1800
<0.5 h | time limit | climb | r0.5
<125 C | coolant temperature | climb | t1800 D
""")
british("""Hot weather: with the oil at ⟦9?°C.⟧ and rising, open the shutter fully. At ⟦95°C.⟧ throttle back.""", """
? C | oil temperature | - | D
95 C | oil temperature | -
""")
british("""REAR TANK . . . . ⟦3 6 gallons⟧ (after Mod. 311, ⟦44 gallons⟧) . . . . OIL . . . . ⟦5 l/2 gallons⟧""", """
36 galb | fuel capacity | rear tank | D
44 galb | fuel capacity | rear tank
5.5 galb | oil capacity | - | D r0.5
""")
british("""Undercarriage not to be lowered over ⟦l8O knots⟧; flaps not over ⟦l4S knots⟧; the Sallow cruises at ⟦2lO knots⟧.""", """
<180 kn | airspeed | undercarriage down | D
<145 kn | airspeed | flaps down | D
210 kn | airspeed | cruise | D
""")
british("""Weak cruising is bounded by ⟦2,650 r.p.m.⟧ and ⟦+2 lb/sq in⟧; rich cruising by ⟦2,650⟧ and ⟦+5⟧. Within the weak limits prefer high boost and low revs.""", """
<2650 rpm | engine speed | weak cruising
<2 psi | boost | weak cruising
<2650 rpm | engine speed | rich cruising
<5 psi | boost | rich cruising
""")
british("""Operational necessity only: ⟦+18 lb.⟧ boost and ⟦3,050⟧ revs. for ⟦five minutes⟧ at a stretch, to be entered in the log and the plugs changed after landing.""", """
<18 psi | boost | operational necessity | t300
<3050 rpm | engine speed | operational necessity | t300
<5 min | time limit | operational necessity | r1
""")
british("""Maximum range: fly at ⟦165 m.p.h.⟧ I.A.S. low down, ⟦160⟧ above ⟦12,000 ft.⟧; reduce the revs. as the weight goes but never below ⟦1,500⟧.""", """
165 mph | airspeed | maximum range
160 mph | airspeed | maximum range
12000 ft | altitude | maximum range
>1500 rpm | engine speed | maximum range
""")
british("""With full flap and the engine at ⟦-4 lb.⟧ boost she sits nicely on the approach at ⟦90 m.p.h.⟧; below ⟦80⟧ you are asking for trouble.""", """
-4 psi | boost | approach
90 mph | airspeed | approach
>80 mph | airspeed | approach
""")
british("""Fuel consumption at maximum continuous power ⟦·51 pint/B.H.P./hr.⟧; oil, ⟦·025 to ·04 pint/B.H.P./hr.⟧""", """
0.51 pthph | specific fuel consumption | maximum continuous
0.025..0.04 pthph | specific oil consumption | maximum continuous
""")
british("""Torquemeter reads ⟦310 lb. per sq. in.⟧ at ⟦1,540 B.H.P.⟧, take-off power; if it shows less than ⟦295⟧ abandon the take-off.""", """
310 psi | torquemeter pressure | take-off
1540 hp | power | take-off
>295 psi | torquemeter pressure | take-off
""")
british("""Rigging. Aileron up ⟦22° + 1° - 0°⟧; flaps down ⟦45 ± 1 deg.⟧; elevator trim tab ⟦12°⟧ either way; aileron cable tension ⟦45 to 55 lb.⟧""", """
22:22..23 deg | aileron angle | -
45+-1 deg | flap angle | -
12 deg | trim tab angle | -
45..55 lbf | cable tension | -
""")
british("""Airscrew: fine pitch stop ⟦23°⟧, coarse ⟦45°⟧, feathered ⟦87½°⟧.""", """
23 deg | propeller pitch angle | fine
45 deg | propeller pitch angle | coarse
87.5 deg | propeller pitch angle | feathering
""")
british("""Note in the margin: oil pressure on this one ought to stand at ⟦65 lb.⟧ when cruising, and should never be let fall below ⟦50⟧.""", """
65 psi | oil pressure | cruise
>50 psi | oil pressure | -
""")
british("""Negative "g": not more than ⟦5 secs.⟧ inverted, or the oil pressure will go. Accelerations of over ⟦6 g⟧ in the pull-out call for inspection of the spar bolts.""", """
<5 s | time limit | inverted flight
<6 g | load factor | pull-out
""")
british("""Engine oil temperature to be held at ⟦70 + 5° C.⟧ on bench test (bar of the sign not printed), coolant at ⟦95 ± 3° C.⟧""", """
70+-5 C | oil temperature | bench test | D r1
95+-3 C | coolant temperature | bench test
""")
british("""the leaflet says ⟦two thousand four hundred⟧ at ⟦plus two⟧ but what we used for long range cruise was ⟦eighteen fifty⟧ and ⟦zero⟧ boost and that came out at ⟦thirty one gallons an hour⟧""", """
2400 rpm | engine speed | - | r100
2 psi | boost | - | r1
1850 rpm | engine speed | long range cruise | r10
0 psi | boost | long range cruise | r1
31 gbh | fuel consumption | long range cruise | r1
""")
british("""Tank selectors: when the contents gauge shows ⟦8 gallons⟧ the low-level lamp comes on, and at cruise consumption there remain ⟦12 minutes⟧.""", """
8 galb | fuel quantity | low-level warning
12 min | endurance | cruise
""")
british("""Limiting Mach number ⟦·78⟧ above ⟦25,000 ft.⟧; lower down a speed of ⟦455 knots⟧ is not to be passed.""", """
<0.78 1 | mach number | - | r0.01
25000 ft | altitude | -
<455 kn | airspeed | -
""")
british("""Tank leak test: blow up to ⟦1½ lb. per sq. in.⟧, soap the seams, and see the gauge hold for ⟦10 minutes⟧. In flight the tank pressure must never rise above ⟦2 lb.⟧""", """
1.5 psi | test pressure | tank leak test
10 min | duration | tank leak test
<2 psi | fuel tank pressure | flight
""")
british("""When ditching, come in at ⟦85 knots⟧, flaps ⟦30°⟧, with ⟦150 gallons⟧ or less aboard if time allows; the dinghy bottle is weighed, not gauged.""", """
85 kn | airspeed | ditching
30 deg | flap angle | ditching
<150 galb | fuel quantity | ditching
""")

# ---------------------------------------------------------------- American: pilot's handbooks, crew chief's notes, captions
american("""Take-off power is ⟦2700 rpm⟧ and ⟦47.5" Hg⟧; hold it no longer than ⟦two minutes⟧, then come back to ⟦41"⟧ and ⟦2500⟧ for the climb.""", """
<2700 rpm | engine speed | take-off | t120
<47.5 inHg | manifold pressure | take-off | t120
<2 min | time limit | take-off | r1
41 inHg | manifold pressure | climb
2500 rpm | engine speed | climb
""")
american("""In METO the Ossabee D-1475 is good for ⟦1,050 BHP⟧ at ⟦2,400 RPM⟧ with a BMEP of ⟦168 psi⟧. Cruise BMEP is not to exceed ⟦140⟧.""", """
1050 hp | power | METO
2400 rpm | engine speed | METO
168 psi | brake mean effective pressure | METO
<140 psi | brake mean effective pressure | cruise
""")
american("""Warm up at ⟦1000 to 1200 RPM⟧ until the oil is at least ⟦40°C⟧ and the cylinder heads ⟦120°C⟧. Oil pressure should show within ⟦30 seconds⟧ of starting or you shut her down.""", """
1000..1200 rpm | engine speed | warm-up
>40 C | oil temperature | warm-up
>120 C | cylinder head temperature | warm-up
<30 s | duration | starting
""")
american("""Run-up: prop through at ⟦1600⟧, then check each mag. Max drop ⟦100⟧, max difference between mags ⟦40⟧. All speeds rpm.""", """
1600 rpm | engine speed | run-up
<100 rpm | magneto drop | run-up
<40 rpm | magneto drop difference | run-up
""")
american("""okay so this is your oil pressure you want it up around ⟦seventy five pounds⟧ in cruise and the red line's at ⟦a hundred⟧""", """
~75 psi | oil pressure | cruise | r1
<100 psi | oil pressure | - | r100
""")
american("""in cruise we're indicating ⟦one sixty five knots⟧ at ⟦thirty one inches⟧ and ⟦nineteen hundred⟧ and burning ⟦ninety gallons an hour⟧ total""", """
165 kn | airspeed | cruise | r1
31 inHg | manifold pressure | cruise | r1
1900 rpm | engine speed | cruise | r100
90 guh | fuel consumption | cruise | r10
""")
american("""he told me ⟦forty inches of mercy⟧ and ⟦twenty four hundred our pm⟧ for the climb and keep the heads under ⟦two thirty two⟧""", """
40 inHg | manifold pressure | climb | D r10
2400 rpm | engine speed | climb | D r100
<232 C | cylinder head temperature | climb | r1
""")
american("""hydraulic comes up to ⟦a thousand pee si⟧ on the unloader and the brakes want no less than ⟦eight hundred⟧""", """
1000 psi | hydraulic pressure | - | D r1000
>800 psi | brake pressure | - | r100
""")
american("""Direct-cranking starter: ⟦15 seconds⟧ maximum engagement. Allow ⟦2 minutes⟧ minimum between starts; after three starts let it cool at least ⟦30 minutes⟧.""", """
<15 s | starter operating time | -
>2 min | starter rest time | between starts
>30 min | starter rest time | after three starts
""")
american("""Inertia starter should be turning ⟦13,000 rpm⟧ before you mesh; battery voltage may not sag below ⟦18 volts⟧ during starting.""", """
13000 rpm | inertia starter speed | starting
>18 V | voltage | starting
""")
american("""Inverter output ⟦115 volts⟧, ⟦400 cycles⟧. Generators: ⟦28 ± 0.5 volts⟧, ⟦200 amperes⟧ max. each. Battery ⟦34 ampere-hours⟧.""", """
115 V | voltage | -
400 Hz | frequency | -
28+-0.5 V | voltage | generator
<200 A | current | generator
34 Ah | battery capacity | battery
""")
american("""Cowl flap check: pressure drop across the baffles must be at least ⟦7.5 inches of water⟧ in climb; cylinder base temperature stays under ⟦170°C⟧.""", """
>7.5 inH2O | baffle pressure drop | climb
<170 C | cylinder base temperature | climb
""")
american("""For cruise pull ⟦620 brake horsepower⟧ per engine; flow ⟦47 gph⟧ (⟦282 lb/hr⟧) in auto lean, or ⟦.455 lb/bhp/hr⟧.""", """
620 hp | power | cruise
47 guh | fuel consumption | cruise
282 lbh | fuel consumption | cruise
0.455 lbhph | specific fuel consumption | cruise
""")
american("""Gasoline runs ⟦6.0 lb/gal⟧ and oil ⟦7.5 lb/gal⟧. With ⟦420 gal.⟧ aboard the ship loaded weighs ⟦18,640 lb.⟧""", """
6 lbgu | density | - | r0.1
7.5 lbgu | density | oil
420 galu | fuel quantity | -
18640 lb | weight | loaded
""")
american("""Flaps: first ⟦20°⟧ at ⟦150 mph⟧ or less, full flaps at ⟦125⟧ or less. Gear may be dropped at ⟦160⟧ or less. Never exceed ⟦310 mph⟧.""", """
20 deg | flap angle | -
<150 mph | airspeed | flaps 20 deg
<125 mph | airspeed | full flaps
<160 mph | airspeed | landing gear down
<310 mph | airspeed | never exceed
""")
american("""Water injection: ⟦25 gallons⟧ of mixture; with it war emergency is ⟦58.5 in. Hg⟧ for ⟦5 min.⟧""", """
25 galu | water injection fluid capacity | -
<58.5 inHg | manifold pressure | war emergency | t300
<5 min | time limit | war emergency
""")
american("""Above ⟦18,500 ft.⟧ in high blower military manifold pressure falls off ⟦1.3" Hg⟧ for every ⟦1000 ft.⟧""", """
18500 ft | altitude | military, high blower
1.3 inHg | manifold pressure change | military, high blower
1000 ft | altitude interval | military, high blower
""")
american("""Blower change: not above ⟦1700 RPM⟧; expect oil pressure to fall ⟦10 lb.⟧ momentarily. Wait at least ⟦5 minutes⟧ before shifting again so the clutches cool.""", """
<1700 rpm | engine speed | blower change
10 psi | oil pressure change | blower change
>5 min | duration | blower change
""")
american("""Gyro vacuum wants ⟦4.25 in. Hg ± .25⟧ and the turn indicator by itself only ⟦1.9 in.⟧""", """
4.25+-0.25 inHg | suction | gyro instruments | r0.01
1.9 inHg | suction | turn indicator
""")
american("""Nose strut ⟦425 psi⟧ and main struts ⟦710 psi⟧, fully extended. Static extension ⟦2 5/8 in.⟧ nose, ⟦3-1/2 in.⟧ mains.""", """
425 psi | shock strut pressure | nose strut
710 psi | shock strut pressure | main struts
2.625 in | shock strut extension | nose strut
3.5 in | shock strut extension | main struts
""")
american("""Oxygen system: ⟦425 lb/sq in.⟧ full. Refill at ⟦100 lb/sq in.⟧; do not let it go below ⟦50⟧ or moisture gets in.""", """
425 psi | oxygen pressure | full
100 psi | oxygen pressure | -
>50 psi | oxygen pressure | -
""")
american("""Main tanks ⟦137 gal.⟧ each, auxiliary tanks ⟦89⟧ each, bomb bay tank ⟦325⟧. Oil ⟦29 qts⟧ each nacelle.""", """
137 galu | fuel capacity | main tank
89 galu | fuel capacity | auxiliary tanks
325 galu | fuel capacity | bomb bay tank
29 qtu | oil capacity | -
""")
american("""One engine out: best climb ⟦118 mph⟧ with prop feathered, not slower than ⟦105⟧. At ⟦20,000 lbs⟧ she'll give you ⟦200 ft per min⟧ at sea level.""", """
118 mph | airspeed | one engine out
>105 mph | airspeed | one engine out
20000 lb | weight | one engine out
200 fpm | rate of climb | one engine out
""")
american("""For landing come over the fence with ⟦85 knots⟧ (⟦98 mph⟧) on the dial; she quits flying at ⟦69 knots⟧, flaps down.""", """
85 kn | airspeed | landing
98 mph | airspeed | landing
69 kn | stalling speed | flaps down
""")
american("""Oil dilution, engine turning ⟦1100 r.p.m.⟧, oil temperature under ⟦50°C.⟧: dilute ⟦3 minutes⟧ for ⟦+10°F.⟧, ⟦6 minutes⟧ for ⟦-20°F.⟧""", """
1100 rpm | engine speed | oil dilution
<50 C | oil temperature | oil dilution
3 min | oil dilution time | -
10 F | outside air temperature | oil dilution
6 min | oil dilution time | -
-20 F | outside air temperature | oil dilution
""")
american("""Crew chief's pad - accumulator precharge ⟦6OO⟧, system relief valve ⟦13OO⟧, brakes ⟦1O5O⟧, all lbs per sq. in.""", """
600 psi | hydraulic accumulator pressure | precharge | D
1300 psi | hydraulic pressure | relief valve | D
1050 psi | brake pressure | - | D
""")
american("""Off the scorched chart, all maxima: oil in ⟦1000C⟧; heads ⟦2450C⟧ on the climb and ⟦2610C⟧ during take-off (⟦5 minutes⟧).""", """
<100 C | oil inlet temperature | - | D
<245 C | cylinder head temperature | climb | D
<261 C | cylinder head temperature | take-off | t300 D
<5 min | time limit | take-off
""")
american("""Oil out ⟦205°F.⟧ maximum, oil in ⟦160-180°F.⟧; a charged battery should test ⟦1.285⟧ specific gravity and be topped up each week.""", """
<205 F | oil outlet temperature | -
160..180 F | oil inlet temperature | -
1.285 1 | specific gravity | battery
""")
american("""MILITARY POWER ⟦S2.0 IN HG⟧ ⟦2,7OO RPM⟧ ⟦lS MIN.⟧ MAX.""", """
<52 inHg | manifold pressure | military | t900 D r0.1
<2700 rpm | engine speed | military | t900 D
<15 min | time limit | military | D
""")
american("""At ⟦25 , 000 feet⟧ and ⟦2 4 0 0 rpm⟧ the turbo ran ⟦21.500 rpm⟧.""", """
25000 ft | altitude | - | D
2400 rpm | engine speed | - | D
21500 rpm | turbo speed | - | D r1
""")
american("""FUEL PRESS. ⟦6.S-7.S PSI⟧   OIL PRESS. ⟦8S-9S PSl⟧   SUCT. ⟦3.8-4.2 ln. Hg⟧""", """
6.5..7.5 psi | fuel pressure | - | D r0.1
85..95 psi | oil pressure | - | D
3.8..4.2 inHg | suction | - | D
""")
american("""Gross weight at take-off limited to ⟦27.500 pounds⟧; landing ⟦24,000 pounds⟧⟦23,250⟧ with skis.""", """
<27500 lb | weight | take-off | D r1
<24000 lb | weight | landing
<23250 lb | weight | landing
""")
american("""[coffee ring] cruise ⟦2?.5 in. Hg⟧, ⟦2100 rpm⟧.""", """
? inHg | manifold pressure | cruise | D r0.1
2100 rpm | engine speed | cruise
""")
american("""Reference: A.N. 07-99XB-1, Section II, par. 2-17, revised 15 January 1945, replaces pages 31 and 32; airplane serials 44-51017 thru 44-51260.""")
american("""Post three guards at stations 4, 9 and 12, draw 48 blankets, and see Cpl. Wendric about the laundry truck by 0630, Tuesday 8 May.""")
american("""Use grade 91/96 fuel, Spec. AN-F-97, with 1120 or 1100 oil according to season; firing order 1-10-5-14-9-4-13-8-3-12-7-2-11-6.""")
american("""Supercharger regulator check: at ⟦2,300 rpm⟧ manifold pressure should settle at ⟦46 ± 1/2 in. Hg⟧ inside ⟦10 seconds⟧""", """
2300 rpm | engine speed | -
46+-0.5 inHg | manifold pressure | -
<10 s | duration | -
""")
american("""In a dive do not let the engine go past ⟦3120 rpm⟧ for more than ⟦30 seconds⟧, and hold ⟦15 inches⟧ at the very least.""", """
<3120 rpm | engine speed | dive | t30
<30 s | time limit | dive
>15 inHg | manifold pressure | dive
""")
american("""Clearing plugs: ⟦30 inches⟧ for ⟦15 seconds⟧, then back to ⟦800 rpm⟧ idling""", """
30 inHg | manifold pressure | clearing plugs
15 s | duration | clearing plugs
800 rpm | engine speed | idling
""")
american("""Tighten front main bearing nut to ⟦2200-2400 inch pounds⟧, prop retaining nut ⟦1,100 foot-pounds⟧, rocker box screws ⟦65 in.-lb.⟧ max.""", """
2200..2400 inlb | tightening torque | front main bearing nut
1100 ftlb | tightening torque | propeller retaining nut
<65 inlb | tightening torque | rocker box screws
""")
american("""Valve lash ⟦.010⟧ cold, spark plug gap ⟦.012 to .015⟧, points ⟦.019⟧ - all in inches; crankshaft end float ⟦.006 to .012⟧.""", """
0.01 in | valve clearance | cold | r0.001
0.012..0.015 in | spark plug gap | - | r0.001
0.019 in | contact breaker gap | - | r0.001
0.006..0.012 in | end float | - | r0.001
""")
american("""Cabin altitude is kept at ⟦8,000 ft⟧ with the airplane at ⟦30,000⟧, which is a cabin differential of ⟦13.34" Hg⟧; the dump valve must never be set over ⟦13.6"⟧.""", """
8000 ft | cabin altitude | -
30000 ft | altitude | -
13.34 inHg | cabin differential pressure | -
<13.6 inHg | cabin differential pressure | -
""")
american("""Oil consumption runs between ⟦6 and 11 pounds per hour⟧ at normal rated power; ground the airplane if it tops ⟦20⟧.""", """
6..11 lbh | oil consumption | normal rated
<20 lbh | oil consumption | -
""")
american("""Descent: ⟦1,800 rpm⟧, at least ⟦18 in. Hg.⟧, mixtures rich, cowls shut; keep cylinder heads above ⟦125°C.⟧ (⟦257°F.⟧) all the way down.""", """
1800 rpm | engine speed | descent
>18 inHg | manifold pressure | descent
>125 C | cylinder head temperature | descent
>257 F | cylinder head temperature | descent
""")
american("""Range on ⟦260 gallons⟧ in still air, maximum range settings, comes to ⟦1,040 miles⟧ or ⟦7.5 hours⟧; hold back ⟦30 gallons⟧ as reserve.""", """
260 galu | fuel quantity | maximum range
1040 mi | range | maximum range
7.5 h | endurance | maximum range
30 galu | reserve | reserve
""")
american("""Tires. Mains ⟦62 lb.⟧ up to ⟦17,000 lb.⟧ gross, ⟦70 lb.⟧ above it; tail wheel ⟦55 lb.⟧ always.""", """
62 psi | tyre pressure | main wheels
<17000 lb | weight | -
70 psi | tyre pressure | main wheels
55 psi | tyre pressure | tail wheel
""")
american("""Mixture best power ⟦0.080⟧ fuel-air ratio, cruise ⟦0.062⟧; specific fuel consumption in cruise ⟦.43 lb/bhp-hr⟧.""", """
0.08 1 | fuel-air ratio | best power | r0.001
0.062 1 | fuel-air ratio | cruise
0.43 lbhph | specific fuel consumption | cruise
""")
american("""Primary trainer, wooden prop: static ⟦1,975 rpm plus or minus 50⟧; oil ⟦50 lbs.⟧ desired, ⟦30⟧ minimum, oil temperature ⟦200°F.⟧ maximum.""", """
1975+-50 rpm | engine speed | static
50 psi | oil pressure | desired
>30 psi | oil pressure | -
<200 F | oil temperature | -
""")

# ---------------------------------------------------------------- tradition unknown: captions, placards, torn sheets, bad scans
unknown("""and she's showing ⟦sixty five pounds⟧ oil pressure ⟦eighty degrees⟧ on the oil temp everything in the green""", """
65 psi | oil pressure | - | r1
80 C | oil temperature | - | r10
""")
unknown("""so undercarriage down below ⟦one forty knots⟧ flaps below ⟦one twenty⟧ and final approach at ⟦eighty⟧""", """
<140 kn | airspeed | undercarriage down | r10
<120 kn | airspeed | flaps down | r10
80 kn | airspeed | final approach | r10
""")
unknown("""⟦zero⟧ boost ⟦twenty four fifty⟧ that's your cruise and for climb ⟦plus for⟧""", """
0 psi | boost | cruise | r1
2450 rpm | engine speed | cruise | r10
4 psi | boost | climb | D r1
""")
unknown("""take off is ⟦plus ate⟧ at ⟦three thousand⟧ and you bring it back to ⟦plus to⟧ and ⟦twenty two hundred arpm⟧ in the cruise""", """
8 psi | boost | take-off | D r1
3000 rpm | engine speed | take-off | r1000
2 psi | boost | cruise | D r1
2200 rpm | engine speed | cruise | D r100
""")
unknown("""you don't want more than ⟦fort d degrees⟧ on the carb air in icing he said""", """
<40 C | carburettor air temperature | icing conditions | D r10
""")
unknown("""the tires take ⟦fifty five pounds⟧ in the mains and the tail wheel's ⟦sixty two⟧ that's what the old crew chief swore by""", """
55 psi | tyre pressure | main wheels | r1
62 psi | tyre pressure | tail wheel | r1
""")
unknown("""Placard by the throttle quadrant:
DO NOT EXCEED ⟦42"⟧ BELOW ⟦2500⟧""", """
<42 inHg | manifold pressure | -
2500 rpm | engine speed | -
""")
unknown("""FLAPS ⟦140⟧   U/C ⟦165⟧   DIVE ⟦390⟧  (KNOTS, MAX.)""", """
<140 kn | airspeed | flaps down
<165 kn | airspeed | undercarriage down
<390 kn | airspeed | dive
""")
unknown("""TANK CAP STENCIL: PETROL  ⟦48 GALLS⟧  87 OCTANE.  OIL CAP: ⟦4 GALLS⟧, D.T.D. 9109""", """
48 galb | fuel capacity | -
4 galb | oil capacity | -
""")
unknown("""PLATE ON STRUT: INFLATE ⟦380 PSI⟧   PLATE ON TIRE DOOR: ⟦70 PSI⟧ MAX""", """
380 psi | shock strut pressure | -
<70 psi | tyre pressure | -
""")
unknown("""RPM HUNDREDS: idle ⟦6⟧, magneto check ⟦16⟧, cruise ⟦19⟧, never over ⟦25⟧""", """
600 rpm | engine speed | idling | r100
1600 rpm | engine speed | magneto check | r100
1900 rpm | engine speed | cruise | r100
<2500 rpm | engine speed | - | r100
""")
unknown("""Rad. temp. ⟦10S°⟧ max. in climb, ⟦8O° to 9O°⟧ cruising; oil inlet ⟦7O°⟧""", """
<105 C | coolant temperature | climb | D
80..90 C | coolant temperature | cruise | D
70 C | oil inlet temperature | - | D
""")
unknown("""oil tcmp rnax ⟦85 0C⟧   oil prcss ⟦45 1bs/sg in⟧ min""", """
<85 C | oil temperature | - | D r1
>45 psi | oil pressure | - | D r1
""")
unknown("""Take-off ⟦285O⟧ & ⟦48⟧ ; climb ⟦26OO⟧ & ⟦42⟧ ; cruise ⟦22OO⟧ & ⟦3l⟧  (rpm, in Hg)""", """
2850 rpm | engine speed | take-off | D
48 inHg | manifold pressure | take-off
2600 rpm | engine speed | climb | D
42 inHg | manifold pressure | climb
2200 rpm | engine speed | cruise | D
31 inHg | manifold pressure | cruise | D
""")
unknown("""[upper half of card lost]
take-off (⟦5 mins.⟧)   ⟦2,9██ r.p.m.⟧   ⟦+12 lb./sq.in.⟧
max. continuous     ⟦2,600 r.p.m.⟧   ⟦+?  lb./sq.in.⟧""", """
<5 min | time limit | take-off
? rpm | engine speed | take-off | D t300 r1
<12 psi | boost | take-off | t300
<2600 rpm | engine speed | maximum continuous
? psi | boost | maximum continuous | D r1
""")
unknown("""Oil pressure normal ⟦7[blot] lb⟧, minimum ⟦45 lb⟧""", """
? psi | oil pressure | normal | D r1
>45 psi | oil pressure | -
""")
unknown("""Coolant capacity ⟦1# galls⟧, oil capacity ⟦9 galls⟧, hydraulic reservoir ⟦2¼ galls⟧ (punch hole through first entry)""", """
? galb | coolant capacity | - | D r1
9 galb | oil capacity | -
2.25 galb | hydraulic fluid capacity | -
""")
unknown("""(ngin! sp!!d nut tu !xc!!d ⟦ZvBEE r*p*m⟧ nur uil pr!ssur! fall b!luw ⟦EQ lb*⟧""", """
? rpm | engine speed | - | D r1
? psi | oil pressure | - | D r1
""")
unknown("""Xdfg pwh jklq tr vbn. Wq/ (kfd. hjt) zxx. Rtl; Qpp. Bnh- ;;kl wwt (z. xx. zzr.""")
unknown("""Boost ⟦f 6⟧ , revs ⟦27OO⟧""", """
6 psi | boost | - | D
2700 rpm | engine speed | - | D
""")
unknown("""p . 14  warm-up ⟦9OO - 1,O00 revs⟧   mag drop ⟦lOO⟧ max at ⟦1,7OO⟧""", """
900..1000 rpm | engine speed | warm-up | D r1
<100 rpm | magneto drop | - | D
1700 rpm | engine speed | - | D
""")
unknown("""suct ion ⟦4 1/Z ins . Hg⟧ ; b rakes ⟦9O lbs⟧ ; u/c lowe rs bel ow ⟦16O mph⟧""", """
4.5 inHg | suction | - | D r0.5
90 psi | brake pressure | - | D
<160 mph | airspeed | undercarriage down | D
""")
unknown("""Generator cuts in ⟦l350 rpm⟧, volts ⟦27.S⟧, amps ⟦lOO⟧ max.""", """
1350 rpm | engine speed | generator cut-in | D
27.5 V | voltage | generator | D r0.1
<100 A | current | generator | D
""")
unknown("""VALVE CLEARANCE ⟦O.O12⟧ INLET ⟦O.O18⟧ EXHAUST (INCHES)""", """
0.012 in | valve clearance | inlet | D r0.001
0.018 in | valve clearance | exhaust | D r0.001
""")
unknown("""Weight loaded ⟦12 ,4OO lbs⟧ . landing ⟦ll,9OO lbs⟧ . empty ⟦8 , 65O lbs⟧ .""", """
12400 lb | weight | loaded | D r1
11900 lb | weight | landing | D r1
8650 lb | weight | empty | D r1
""")
unknown("""Exhibit label: Marchbold Linnock trainer, built 1938, constructor's number 214; restored 1987-1993 by volunteers; on loan until 31 December.""")
unknown("""Key: 1 throttle. 2 mixture. 3 airscrew. 4 gun button. 5 compass, P.8. 6 clock. 7 blanking plate. See overleaf for 8 to 23.""")
unknown("""Form No. 2217-B   Rev. 3   Sheet 6/11   Dwg. 88-31042   Insp. stamp K-19   Date 7/14/44""")
unknown("""Sticker: STARTER MAX. ⟦15 SEC⟧ ON, ⟦60 SEC⟧ OFF AT LEAST""", """
<15 s | starter operating time | -
>60 s | starter rest time | -
""")
unknown("""Boost (lb.) : take-off ⟦+10⟧ / climb ⟦+7⟧ / max. continuous ⟦+4½⟧ / cruise ⟦-½⟧""", """
10 psi | boost | take-off
7 psi | boost | climb
<4.5 psi | boost | maximum continuous
-0.5 psi | boost | cruise
""")
unknown("""he said the old girl burned thirty no ⟦thirty five gallons an hour⟧ at economical cruise""", """
35 gbh | fuel consumption | economical cruise | r1
""")
unknown("""the gauge should sit about ⟦five and a half⟧ on the fuel that's pounds and the suction's ⟦four and three quarters inches⟧""", """
~5.5 psi | fuel pressure | - | r0.5
4.75 inHg | suction | - | r0.25
""")
unknown("""HYD. PRESS. ⟦l,3OO-1,S00 LB. PER SQ IN⟧   ACCUMULATOR PRECHARGE ⟦6S0⟧   (photograph of panel)""", """
1300..1500 psi | hydraulic pressure | - | D
650 psi | hydraulic accumulator pressure | precharge | D
""")
unknown("""stall, clean, ⟦8l kts⟧ ; stall, flaps down, ⟦6? kts⟧ ; approach ⟦9S kts⟧""", """
81 kn | stalling speed | clean | D
? kn | stalling speed | flaps down | D r1
95 kn | airspeed | approach | D
""")
unknown("""JPT ⟦6OO°⟧ MAX CONT, ⟦64O°⟧ TAKE-OFF (⟦lO MIN⟧)""", """
<600 C | jet pipe temperature | maximum continuous | D
<640 C | jet pipe temperature | take-off | t600 D
<10 min | time limit | take-off | D
""")
unknown("""CHT ⟦2I0⟧ max in cruise, ⟦2G0⟧ max at take-off (deg. C) [typed copy of a lost sheet]""", """
<210 C | cylinder head temperature | cruise | D
<260 C | cylinder head temperature | take-off | D
""")

# ---------------------------------------------------------------- limit tables
british("""THRAPLEY MARROW B. Mk. 3 (two Garsdon Tuyere VIII)
Operating limitations, 100/130 grade
                         R.P.M.    BOOST        TEMPERATURES °C.
                                   lb./sq.in.   CYLS.     OIL INLET
TAKE-OFF                 ⟦2,800⟧     ⟦+8½⟧          -         -
CLIMB (⟦1 hour⟧)           ⟦2,500⟧     ⟦+6⟧           ⟦270⟧       ⟦90⟧
MAX. RICH CRUISING       ⟦2,400⟧     ⟦+3¾⟧          ⟦250⟧       ⟦80⟧
MAX. WEAK CRUISING       ⟦2,400⟧     ⟦+1¼⟧          ⟦250⟧       ⟦80⟧
COMBAT (⟦5 mins.⟧)         ⟦2,800⟧     ⟦+9⟧           ⟦280⟧       ⟦100⟧""", """
<2800 rpm | engine speed | take-off
<8.5 psi | boost | take-off
<1 h | time limit | climb
<2500 rpm | engine speed | climb | t3600
<6 psi | boost | climb | t3600
<270 C | cylinder head temperature | climb | t3600
<90 C | oil inlet temperature | climb | t3600
<2400 rpm | engine speed | rich cruising
<3.75 psi | boost | rich cruising
<250 C | cylinder head temperature | rich cruising
<80 C | oil inlet temperature | rich cruising
<2400 rpm | engine speed | weak cruising
<1.25 psi | boost | weak cruising
<250 C | cylinder head temperature | weak cruising
<80 C | oil inlet temperature | weak cruising
<5 min | time limit | combat
<2800 rpm | engine speed | combat | t300
<9 psi | boost | combat | t300
<280 C | cylinder head temperature | combat | t300
<100 C | oil inlet temperature | combat | t300
""")
british("""PRESSURES AND TEMPERATURES (Pellow Anvil 9)
Oil pressure, normal ............... ⟦75 lb./sq. in.⟧
  "      "    minimum .............. ⟦50   "⟧
  "      "    at idling, not below . ⟦12   "⟧
Fuel pressure ...................... ⟦2 to 3 "⟧
Oil inlet, max. .................... ⟦90° C.⟧
Coolant, max. ...................... ⟦120  "⟧
   "     min. for take-off ......... ⟦60   "⟧""", """
75 psi | oil pressure | normal
>50 psi | oil pressure | -
>12 psi | oil pressure | idling
2..3 psi | fuel pressure | -
<90 C | oil inlet temperature | -
<120 C | coolant temperature | -
>60 C | coolant temperature | take-off
""")
british("""Lettered card, Hathern 4 (from archive copy). (a) condition (b) r.p.m. (c) boost, lb./sq. in. (d) coolant °C. (e) time, minutes
(a) Take-off (b) ⟦3,000⟧ (c) ⟦+14⟧ (d) - (e) ⟦5⟧
(a) Climb (b) ⟦2,850⟧ (c) ⟦+9⟧ (d) ⟦125⟧ (e) ⟦30⟧
(a) Rich cruising (b) ⟦2,650⟧ (c) ⟦+7⟧ (d) ⟦105⟧ (e) no limit
(a) Combat (b) ⟦3,000⟧ (c) ⟦+18⟧ (d) ⟦135⟧ (e) ⟦5⟧""", """
<3000 rpm | engine speed | take-off | t300
<14 psi | boost | take-off | t300
<5 min | time limit | take-off
<2850 rpm | engine speed | climb | t1800
<9 psi | boost | climb | t1800
<125 C | coolant temperature | climb | t1800
<30 min | time limit | climb
<2650 rpm | engine speed | rich cruising
<7 psi | boost | rich cruising
<105 C | coolant temperature | rich cruising
<3000 rpm | engine speed | combat | t300
<18 psi | boost | combat | t300
<135 C | coolant temperature | combat | t300
<5 min | time limit | combat
""")
british("""LIMITS          Take-off   Climb    Rich cruising   Weak cruising
R.p.m.          ⟦3,000⟧      ⟦2,700⟧    ⟦2,600⟧           ⟦2,400⟧
Boost, lb.      ⟦+12¼⟧       ⟦+8⟧       ⟦+5½⟧             ⟦+3⟧
Oil °C.         -          ⟦95⟧       ⟦85⟧              ⟦85⟧
Time            ⟦3 mins.⟧    ⟦1 hr.⟧    no limit        no limit""", """
<3000 rpm | engine speed | take-off | t180
<2700 rpm | engine speed | climb | t3600
<2600 rpm | engine speed | rich cruising
<2400 rpm | engine speed | weak cruising
<12.25 psi | boost | take-off | t180
<8 psi | boost | climb | t3600
<5.5 psi | boost | rich cruising
<3 psi | boost | weak cruising
<95 C | oil temperature | climb | t3600
<85 C | oil temperature | rich cruising
<85 C | oil temperature | weak cruising
<3 min | time limit | take-off
<1 h | time limit | climb
""")
british("""Tanks of the Wexcombe Lapwade F.2            gallons
Fuselage tank ............................  ⟦52½⟧
Rear tank ..................................  ⟦41⟧
Wing tank, each side ......................  ⟦22¾⟧
Drop tank, when fitted .....................  ⟦45⟧, ⟦90⟧ or ⟦150⟧
Oil tank ...................................  ⟦8½⟧ + ⟦1½⟧ air space""", """
52.5 galb | fuel capacity | fuselage tank
41 galb | fuel capacity | rear tank
22.75 galb | fuel capacity | wing tank
45 galb | fuel capacity | drop tank
90 galb | fuel capacity | drop tank
150 galb | fuel capacity | drop tank
8.5 galb | oil capacity | -
1.5 galb | tank air space | air space
""")
british("""SPEEDS NOT TO BE EXCEEDED (I.A.S.)       Knots
Diving ................................  ⟦410⟧
Undercarriage down ....................  ⟦165⟧
Flaps down ............................  ⟦140⟧
Bomb doors open .......................  ⟦280⟧*
* ⟦240⟧ before Mod. 422.""", """
<410 kn | airspeed | dive
<165 kn | airspeed | undercarriage down
<140 kn | airspeed | flaps down
<280 kn | airspeed | bomb doors open
<240 kn | airspeed | bomb doors open
""")
british("""LONG RANGE CRUISE, Dunholt Sallow
Height, ft.     A.S.I. knots   R.p.m.   Boost lb.
⟦2,000⟧           ⟦150⟧            ⟦1,700⟧    ⟦+2⟧
⟦8,000⟧           ⟦d°⟧             ⟦1,850⟧    ⟦d°⟧
⟦15,000⟧          ⟦145⟧            ⟦2,200⟧    ⟦+1½⟧""", """
2000 ft | altitude | long range cruise
150 kn | airspeed | long range cruise
1700 rpm | engine speed | long range cruise
2 psi | boost | long range cruise
8000 ft | altitude | long range cruise
150 kn | airspeed | long range cruise | r1
1850 rpm | engine speed | long range cruise
2 psi | boost | long range cruise | r1
15000 ft | altitude | long range cruise
145 kn | airspeed | long range cruise
2200 rpm | engine speed | long range cruise
1.5 psi | boost | long range cruise
""")
british("""Hathern jet, R.p.m. and j.p.t. limits
Condition        R.p.m.    J.P.T. °C.       Time
Take-off         ⟦10,300⟧    ⟦680⟧              ⟦10 mins.⟧
Climb            ⟦10,000⟧    ⟦645⟧              ⟦30 mins.⟧
Max. continuous  ⟦9,700⟧     ⟦610⟧              unlimited
Idling           ⟦3,000⟧     ⟦500⟧              -
Starting: not over ⟦800°⟧ for ⟦3 secs.⟧""", """
<10300 rpm | engine speed | take-off | t600
<680 C | jet pipe temperature | take-off | t600
<10 min | time limit | take-off
<10000 rpm | engine speed | climb | t1800
<645 C | jet pipe temperature | climb | t1800
<30 min | time limit | climb
<9700 rpm | engine speed | maximum continuous
<610 C | jet pipe temperature | maximum continuous
<3000 rpm | engine speed | idling
<500 C | jet pipe temperature | idling
<800 C | jet pipe temperature | starting | t3
<3 s | time limit | starting
""")
british("""Typed on the back of a fuel docket -
  take off    ⟦3OOO revs⟧   ⟦t l2 lbs⟧
  climb       ⟦27OO  "⟧     ⟦f  9  "⟧
  cruise      ⟦22OO  "⟧     ⟦f  4  "⟧
  oil press not under ⟦6S lbs⟧ , temp ⟦8O⟧ max""", """
3000 rpm | engine speed | take-off | D
12 psi | boost | take-off | D
2700 rpm | engine speed | climb | D
9 psi | boost | climb | D
2200 rpm | engine speed | cruise | D
4 psi | boost | cruise | D
>65 psi | oil pressure | - | D
<80 C | oil temperature | - | D
""")
british("""LOADING           cwt.  qrs.  lb.
Machine, empty    ⟦38     2     7⟧
Crew              ⟦3      1     0⟧
Full load         ⟦61     0    14⟧""", """
38+2/4+7/112 cwt | weight | empty | r1/112
3+1/4 cwt | weight | crew | r1/112
61+14/112 cwt | weight | full load | r1/112
""")
british("""STALLING SPEEDS, m.p.h. I.A.S. (Skarn T.1)
                     At ⟦9,800 lb.⟧    At ⟦11,400 lb.⟧
Flaps up                  ⟦78⟧              ⟦84⟧
Flaps down                ⟦66⟧              ⟦71⟧""", """
9800 lb | weight | stall
11400 lb | weight | stall
78 mph | stalling speed | flaps up
84 mph | stalling speed | flaps up
66 mph | stalling speed | flaps down
71 mph | stalling speed | flaps down
""")
american("""TALLAPUSH T-9 (OSSABEE D-1475-4)  -  POWER SETTINGS   in. Hg / rpm
Take-off (⟦5 min.⟧)      ⟦46⟧/⟦2500⟧
Climb                  ⟦38.5⟧/⟦2300⟧
Max. cruise            ⟦31⟧/⟦2100⟧
Long range cruise      ⟦27.5⟧/⟦1700⟧
Approach               ⟦20⟧/⟦2300⟧""", """
<5 min | time limit | take-off
<46 inHg | manifold pressure | take-off | t300
<2500 rpm | engine speed | take-off | t300
38.5 inHg | manifold pressure | climb
2300 rpm | engine speed | climb
<31 inHg | manifold pressure | maximum cruise
<2100 rpm | engine speed | maximum cruise
27.5 inHg | manifold pressure | long range cruise
1700 rpm | engine speed | long range cruise
20 inHg | manifold pressure | approach
2300 rpm | engine speed | approach
""")
american("""INSTRUMENT MARKINGS              MIN.    DESIRED    MAX.
OIL TEMPERATURE (DEG. C)         ⟦40⟧      ⟦60-75⟧      ⟦95⟧
OIL PRESSURE (PSI)               ⟦55⟧      ⟦70-80⟧      ⟦90⟧
FUEL PRESSURE (PSI)              ⟦12⟧      ⟦15⟧         ⟦18⟧
CYL. HEAD TEMP. (DEG. C)         ⟦100⟧     -          ⟦248⟧
CARB. AIR TEMP. (DEG. C)         ⟦-10⟧     ⟦15-30⟧      ⟦38⟧
SUCTION (IN. HG)                 ⟦3.75⟧    ⟦4.0⟧        ⟦4.25⟧""", """
>40 C | oil temperature | -
60..75 C | oil temperature | desired
<95 C | oil temperature | -
>55 psi | oil pressure | -
70..80 psi | oil pressure | desired
<90 psi | oil pressure | -
>12 psi | fuel pressure | -
15 psi | fuel pressure | desired
<18 psi | fuel pressure | -
>100 C | cylinder head temperature | -
<248 C | cylinder head temperature | -
>-10 C | carburettor air temperature | -
15..30 C | carburettor air temperature | desired
<38 C | carburettor air temperature | -
>3.75 inHg | suction | -
4 inHg | suction | desired | r0.1
<4.25 inHg | suction | -
""")
american("""OPERATING LIMITS
                RPM      M.P.      CYL. TEMP.    TIME
                (X100)   (IN HG)   (°C)
TAKE-OFF        ⟦28⟧       ⟦52⟧        ⟦260⟧           ⟦5 MIN.⟧
MILITARY        ⟦28⟧       ⟦49.5⟧      ⟦260⟧           ⟦15 MIN.⟧
METO            ⟦25⟧       ⟦42⟧        ⟦238⟧           CONT.
MAX. CRUISE     ⟦22⟧       ⟦33⟧        ⟦232⟧           CONT.""", """
<2800 rpm | engine speed | take-off | t300 r100
<52 inHg | manifold pressure | take-off | t300
<260 C | cylinder head temperature | take-off | t300
<5 min | time limit | take-off
<2800 rpm | engine speed | military | t900 r100
<49.5 inHg | manifold pressure | military | t900
<260 C | cylinder head temperature | military | t900
<15 min | time limit | military
<2500 rpm | engine speed | METO | r100
<42 inHg | manifold pressure | METO
<238 C | cylinder head temperature | METO
<2200 rpm | engine speed | maximum cruise | r100
<33 inHg | manifold pressure | maximum cruise
<232 C | cylinder head temperature | maximum cruise
""")
american("""WINNETAW 21 FLIGHT OPERATION CHART (excerpt, gross ⟦17,500 lb.⟧)
COND.         MPH IAS    RPM     IN. HG.   GPH
Max. range    ⟦162⟧        ⟦1650⟧    ⟦28.0⟧      ⟦58⟧
Climb         ⟦150⟧        ⟦2300⟧    ⟦39.0⟧      ⟦148⟧
Descent       ⟦188⟧        ⟦2050⟧    ⟦22.5⟧      ⟦52⟧""", """
17500 lb | weight | -
162 mph | airspeed | maximum range
1650 rpm | engine speed | maximum range
28 inHg | manifold pressure | maximum range | r0.1
58 guh | fuel consumption | maximum range
150 mph | airspeed | climb
2300 rpm | engine speed | climb
39 inHg | manifold pressure | climb | r0.1
148 guh | fuel consumption | climb
188 mph | airspeed | descent
2050 rpm | engine speed | descent
22.5 inHg | manifold pressure | descent
52 guh | fuel consumption | descent
""")
american("""HYDRAULIC SYSTEM DATA (p.s.i.)
Accumulator precharge .......... ⟦600 ± 25⟧
Pump cut-in .................... ⟦850⟧
  "  cut-out ................... ⟦1075⟧
Relief valve ................... ⟦1250⟧
Brakes ......................... ⟦1000-1200⟧
Fluid, reservoir ............... ⟦6.5 gal.⟧""", """
600+-25 psi | hydraulic accumulator pressure | precharge
850 psi | hydraulic pressure | cut-in
1075 psi | hydraulic pressure | cut-out
1250 psi | hydraulic pressure | relief valve
1000..1200 psi | brake pressure | -
6.5 galu | hydraulic fluid capacity | -
""")
american("""MAXIMUM AIRSPEEDS    MPH      KNOTS
Never exceed         ⟦322⟧      ⟦280⟧
Landing gear down    ⟦161⟧      ⟦140⟧
Flaps extended       ⟦132⟧      ⟦115⟧
Bomb doors open      ⟦230⟧      ⟦200⟧""", """
<322 mph | airspeed | never exceed
<280 kn | airspeed | never exceed
<161 mph | airspeed | landing gear down
<140 kn | airspeed | landing gear down
<132 mph | airspeed | flaps extended
<115 kn | airspeed | flaps extended
<230 mph | airspeed | bomb doors open
<200 kn | airspeed | bomb doors open
""")
american("""CORBINDALE C-40, ENGINE LIMITATIONS (bad scan)
Takeoff   ⟦2,8O0 RPM⟧   ⟦S4 in. Hg⟧   ⟦2600C⟧   ⟦5 min⟧
Military  ⟦2,8O0 RPM⟧   ⟦S0 in. Hg⟧   ⟦2600C⟧   ⟦l5 min⟧
METO      ⟦2,SS0 RPM⟧   ⟦4S in. Hg⟧   ⟦2320C⟧   -""", """
<2800 rpm | engine speed | take-off | t300 D
<54 inHg | manifold pressure | take-off | t300 D
<260 C | cylinder head temperature | take-off | t300 D
<5 min | time limit | take-off
<2800 rpm | engine speed | military | t900 D
<50 inHg | manifold pressure | military | t900 D
<260 C | cylinder head temperature | military | t900 D
<15 min | time limit | military | D
<2550 rpm | engine speed | METO | D
<45 inHg | manifold pressure | METO | D
<232 C | cylinder head temperature | METO | D
""")
american("""TANK              U.S. GAL.    IMP. GAL.
Main, each        ⟦184⟧          ⟦153.2⟧
Auxiliary, each   ⟦106⟧          ⟦88.3⟧
Total             ⟦580⟧          ⟦483⟧
Oil, each engine  ⟦18⟧           ⟦15⟧""", """
184 galu | fuel capacity | main tank
153.2 galb | fuel capacity | main tank
106 galu | fuel capacity | auxiliary tanks
88.3 galb | fuel capacity | auxiliary tanks
580 galu | fuel capacity | total
483 galb | fuel capacity | total
18 galu | oil capacity | -
15 galb | oil capacity | -
""")
british("""PELLOW ANVIL 12   OIL PRESSURE, lb./sq.in.          OIL INLET, °C.
                  Normal   Min.   Emergency min.    Normal   Max.
                  ⟦80⟧       ⟦60⟧     ⟦45⟧                ⟦60-70⟧    ⟦90⟧
Scarfell 2        ⟦65⟧       ⟦50⟧     ⟦35⟧                ⟦55-65⟧    ⟦85⟧""", """
80 psi | oil pressure | normal
>60 psi | oil pressure | -
>45 psi | oil pressure | emergency minimum
60..70 C | oil inlet temperature | normal
<90 C | oil inlet temperature | -
65 psi | oil pressure | normal
>50 psi | oil pressure | -
>35 psi | oil pressure | emergency minimum
55..65 C | oil inlet temperature | normal
<85 C | oil inlet temperature | -
""")
british("""POWERS OF THE GARSDON TUYERE VIII
Take-off        ⟦1,190 b.h.p.⟧   ⟦2,800 r.p.m.⟧   ⟦+8½ lb./sq.in.⟧
Climb           ⟦1,240 b.h.p.⟧ ⟦4,500 ft⟧⟦1,105 b.h.p.⟧ ⟦14,250 ft.⟧ ⟦2,500 r.p.m.⟧
All-out level   ⟦1,365 ,,⟧ ⟦6,750 ,,⟧ ⟦2,800 ,,⟧""", """
1190 hp | power | take-off
2800 rpm | engine speed | take-off
8.5 psi | boost | take-off
1240 hp | power | climb
4500 ft | altitude | climb
1105 hp | power | climb
14250 ft | altitude | climb
2500 rpm | engine speed | climb
1365 hp | power | all-out level
6750 ft | altitude | all-out level
2800 rpm | engine speed | all-out level
""")
american("""OSSABEE D-1475     TAKE-OFF   METO    MAX. CRUISE
RPM                ⟦2800⟧       ⟦2550⟧    ⟦2200⟧
IN. HG.            ⟦54⟧         ⟦44⟧      ⟦34⟧
BHP                ⟦1450⟧       ⟦1200⟧    ⟦840⟧
CYL. HEAD, °C.     ⟦260⟧        ⟦238⟧     ⟦230⟧
TIME, MINUTES      ⟦5⟧          CONT.   CONT.
MAXIMUM VALUES IN ALL COLUMNS""", """
<2800 rpm | engine speed | take-off | t300
<2550 rpm | engine speed | METO
<2200 rpm | engine speed | maximum cruise
<54 inHg | manifold pressure | take-off | t300
<44 inHg | manifold pressure | METO
<34 inHg | manifold pressure | maximum cruise
<1450 hp | power | take-off | t300
<1200 hp | power | METO
<840 hp | power | maximum cruise
<260 C | cylinder head temperature | take-off | t300
<238 C | cylinder head temperature | METO
<230 C | cylinder head temperature | maximum cruise
<5 min | time limit | take-off
""")
british("""Magneto check card   Port engine / Starboard engine
R.p.m. for test       ⟦2,000⟧  /  ⟦2,000⟧
Drop, not over        ⟦80⟧     /  ⟦80⟧
Boost, lb.            ⟦0⟧      /  ⟦0⟧
Oil press. lb.        ⟦72⟧     /  ⟦69⟧""", """
2000 rpm | engine speed | magneto check
2000 rpm | engine speed | magneto check
<80 rpm | magneto drop | magneto check
<80 rpm | magneto drop | magneto check
0 psi | boost | magneto check
0 psi | boost | magneto check
72 psi | oil pressure | magneto check
69 psi | oil pressure | magneto check
""")

# </items>


def number(word):
    f = sum(Fraction(p) for p in word.split('+')) if '+' in word[1:] else Fraction(word)
    return int(f) if f.denominator == 1 else float(f)


def resolution_of(written):
    """The last place printed: 1 for whole numbers, 0.01 for two decimals, 1/denominator for fractions."""
    if any(c in VULGAR for c in written): return 1/max(VULGAR[c] for c in written if c in VULGAR)
    frac = re.search(r'(?<![\d,.])\d(?:[ -]\d)?/(\d{1,2})(?![\d,])', written)
    if frac and int(frac[1]) in (2, 3, 4, 8, 16): return 1/int(frac[1])
    if not re.search(r'\d', written): return None
    places = max([len(m) for m in re.findall(r'[.·](\d+)', re.sub(r'\d{1,3}(,\d{3})+', '0', written))] or [0])
    return 10.**-places if places else 1


def label(line, written):
    head, parameter, condition, *options = [p.strip() for p in line.split('|')]
    value, alias = head.split()
    unit, kind = UNITS[alias]
    if kind == 'altitude' and parameter not in ('altitude', 'altitude interval', 'cabin altitude'): kind = 'length'
    f = dict.fromkeys(('nominal', 'lo', 'hi', 'plus_minus'))
    bound = {'<': 'max', '>': 'min', '~': 'approx'}.get(value[0], 'nominal')
    value = value.lstrip('<>~')
    if ':' in value:
        mid, span = value.split(':')
        f['nominal'], (f['lo'], f['hi']), bound = number(mid), map(number, span.split('..')), 'range'
    elif '..' in value: (f['lo'], f['hi']), bound = map(number, value.split('..')), 'range'
    elif '+-' in value: f['nominal'], f['plus_minus'] = map(number, value.split('+-'))
    elif value != '?': f['nominal'] = number(value)
    words = options[0].split() if options else []
    seconds = [int(w[1:]) for w in words if re.fullmatch(r't\d+', w)]
    places = [number(w[1:]) for w in words if re.fullmatch(r'r[\d./]+', w)]
    unknown_words = [w for w in words if w != 'D' and not re.fullmatch(r't\d+|r[\d./]+', w)]
    assert not unknown_words, (line, unknown_words)
    resolution = places[0] if places else resolution_of(written) or ('D' in words and 1)
    assert resolution, 'no resolution for %r (%s)' % (written, line)
    reference = 'none' if kind != 'pressure' or parameter in FORMLESS else 'sea_level_datum' if parameter in DATUM else \
        'absolute' if parameter in ABSOLUTE else 'differential' if parameter in DIFFERENTIAL else 'gauge'
    return {'as_written': written, 'lo': f['lo'], 'hi': f['hi'], 'nominal': f['nominal'], 'plus_minus': f['plus_minus'], 'unit': unit, 'kind': kind,
            'reference': reference, 'bound': bound, 'parameter': parameter, 'condition': None if condition == '-' else condition,
            'time_limit_s': seconds[0] if seconds else None, 'damaged': 'D' in words, 'resolution': resolution}


def build(vocabulary=None):
    out, seen = [], set()
    for n, (tradition, marked, labels) in enumerate(ITEMS, 1):
        marked, lines = marked.strip('\n'), [l for l in labels.split('\n') if l.strip()]
        spans, plain, pos = [], [], 0
        for piece in re.split(r'(⟦[^⟧]*⟧)', marked):
            inner = piece[1:-1] if piece.startswith('⟦') else piece
            if piece.startswith('⟦'): spans.append((pos, pos + len(inner)))
            plain.append(inner)
            pos += len(inner)
        text = ''.join(plain)
        name = 'en-%03d' % n
        assert '⟦' not in text and '⟧' not in text, name
        assert len(spans) == len(lines), '%s: %d spans, %d labels\n%s' % (name, len(spans), len(lines), text)
        assert text not in seen, '%s repeats an earlier text' % name
        seen.add(text)
        figures = []
        for (a, b), line in zip(spans, lines):
            f = {'span': [a, b], **label(line, text[a:b])}
            assert text[a:b] == f['as_written'] and f['as_written'] == f['as_written'].strip(), (name, f)
            if f['lo'] is not None: assert f['lo'] < f['hi'] and f['bound'] == 'range', (name, f)
            if f['nominal'] is None and f['lo'] is None: assert f['damaged'], (name, f)
            if vocabulary:
                for key, words in (('unit', 'units'), ('kind', 'kinds'), ('bound', 'bounds'), ('parameter', 'parameters')):
                    assert f[key] in vocabulary[words], (name, key, f[key])
                assert f['reference'] in vocabulary['reference_forms'], (name, f)
            figures.append(f)
        out.append({'id': name, 'text': text, 'tradition': tradition, 'figures': figures})
    return out


def main():
    here = os.path.dirname(os.path.abspath(__file__))
    a = argparse.ArgumentParser()
    a.add_argument('--vocabulary', help='check every label against the terms in this file')
    a.add_argument('--out', default=os.path.join(here, 'second-english.jsonl'))
    o = a.parse_args()
    vocabulary = json.load(open(o.vocabulary, encoding='utf-8')) if o.vocabulary else None
    items = build(vocabulary)
    with open(o.out, 'w', encoding='utf-8') as sink:
        for it in items: sink.write(json.dumps(it, ensure_ascii=False) + '\n')
    if vocabulary:
        odd = sorted({f['condition'] for it in items for f in it['figures'] if f['condition'] and f['condition'] not in vocabulary['conditions']})
        print('conditions outside the listed terms:', ', '.join(odd) or 'none')
    count = {t: sum(it['tradition'] == t for it in items) for t in ('british', 'american', 'unknown')}
    print(len(items), 'items', count, sum(len(it['figures']) for it in items), 'figures', sum('\n' in it['text'] for it in items), 'of several lines')


if __name__ == '__main__':
    sys.exit(main())
