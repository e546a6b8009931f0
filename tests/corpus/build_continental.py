#!/usr/bin/env python3
"""Builds second-continental.jsonl: labelled examples in German, Soviet, French, Italian and Japanese style.

  python3 build_continental.py [vocabulary.json]     (with a vocabulary file its terms are checked as well)

All makers, types, engines, units and persons here are invented; no sentence is taken from a manual.
Each figure is marked in the text with the two brackets, in the order of its labels.  A label is

  VALUE unit parameter|bound|condition|options

VALUE    2400   1.40 (places kept: they give the resolution)   4..6 (range)   38+-1   130[130..135]   void
bound    empty = range for a range, max for a time limit, else nominal; x = max, m = min, a = approx, n = nominal
options  t180 (time limit, s)   D (damaged)   r10 (resolution)   K (no digit check)   ref=gauge
"""
import json, os, re, sys, unicodedata

OPEN, SHUT = '\u27e6', '\u27e7'

UNITS = {  # short: (unit, kind)
    'rpm': ('{rev}/min', 'rotational_speed'), 'att': ('att', 'pressure'), 'kcm': ('kgf/cm2', 'pressure'),
    'gcm': ('gf/cm2', 'pressure'), 'mmhg': ('mm[Hg]', 'pressure'), 'cmhg': ('cm[Hg]', 'pressure'),
    'inhg': ("[in_i'Hg]", 'pressure'), 'psi': ('[psi]', 'pressure'), 'atm': ('atm', 'pressure'), 'bar': ('bar', 'pressure'),
    'kpa': ('kPa', 'pressure'), 'C': ('Cel', 'temperature'), 'F': ('[degF]', 'temperature'), 'kmh': ('km/h', 'speed'),
    'kn': ('[kn_i]', 'speed'), 'mph': ('[mi_i]/h', 'speed'), 'ms': ('m/s', 'speed'), 'L': ('L', 'volume'),
    'usg': ('[gal_us]', 'volume'), 'kg': ('kg', 'mass'), 'lb': ('[lb_av]', 'mass'), 'ps': ('75.kgf.m/s', 'power'),
    'g/ps': ('g/(75.kgf.m/s)/h', 'specific_consumption'), 'L/h': ('L/h', 'volume_flow'), 'kg/h': ('kg/h', 'mass_flow'),
    'kg/km': ('kg/km', 'other'), 'mm': ('mm', 'length'), 'm': ('m', 'length'), 'km': ('km', 'length'), 'ft': ('[ft_i]', 'length'),
    'deg': ('deg', 'angle'), '1': ('1', 'ratio'), '%': ('%', 'ratio'), 's': ('s', 'time'), 'min': ('min', 'time'), 'h': ('h', 'time'),
    'V': ('V', 'voltage'), 'A': ('A', 'current'), 'kgm': ('kgf.m', 'torque'),
}
PARAMS = {
    'es': 'engine speed', 'esc': 'engine speed change', 'mp': 'manifold pressure', 'bo': 'boost', 'op': 'oil pressure',
    'ot': 'oil temperature', 'oit': 'oil inlet temperature', 'oot': 'oil outlet temperature', 'ct': 'coolant temperature',
    'cot': 'coolant outlet temperature', 'cht': 'cylinder head temperature', 'cat': 'carburettor air temperature',
    'oat': 'outside air temperature', 'fp': 'fuel pressure', 'ftp': 'fuel tank pressure', 'hyp': 'hydraulic pressure',
    'csp': 'coolant system pressure', 'bp': 'brake pressure', 'tyre': 'tyre pressure', 'strut': 'shock strut pressure',
    'pneu': 'pneumatic pressure', 'sap': 'starter air pressure', 'oxy': 'oxygen pressure', 'suc': 'suction', 'as': 'airspeed',
    'stall': 'stalling speed', 'roc': 'rate of climb', 'fc': 'fuel capacity', 'oc': 'oil capacity', 'cc': 'coolant capacity',
    'fq': 'fuel quantity', 'wic': 'water injection fluid capacity', 'tas': 'tank air space', 'wt': 'weight', 'pw': 'power',
    'sfc': 'specific fuel consumption', 'soc': 'specific oil consumption', 'fcon': 'fuel consumption', 'ocon': 'oil consumption',
    'fkm': 'fuel consumption per distance', 'mag': 'magneto drop', 'magd': 'magneto drop difference', 'tl': 'time limit',
    'sot': 'starter operating time', 'srt': 'starter rest time', 'dur': 'duration', 'odt': 'oil dilution time',
    'dil': 'dilution percentage', 'alt': 'altitude', 'ign': 'ignition timing', 'cr': 'compression ratio', 'gr': 'gear ratio',
    'bore': 'bore', 'stroke': 'stroke', 'sv': 'swept volume', 'vc': 'valve clearance', 'pg': 'spark plug gap',
    'cbg': 'contact breaker gap', 'tq': 'tightening torque', 'fa': 'flap angle', 'pitch': 'propeller pitch angle',
    'range': 'range', 'end': 'endurance', 'dist': 'distance', 'tbo': 'time between overhauls', 'run': 'running-in period',
    'isp': 'inertia starter speed', 'volt': 'voltage', 'cur': 'current', 'hac': 'hydraulic accumulator pressure',
    'mpc': 'manifold pressure change', 'ai': 'altitude interval',
}
BOUNDS = {'x': 'max', 'm': 'min', 'a': 'approx', 'n': 'nominal', 'r': 'range'}
EXTRA_CONDITIONS = {  # stated in the words, but not among the listed terms
    'front tank', 'drop tank', 'left tank', 'right tank', 'flaps 15 deg', 'fine pitch', 'coarse pitch', 'propeller hub nut',
    'cylinder nuts', 'spark plugs'}
ITEMS = []


def shown(s):
    s = s.replace(OPEN, '').replace(SHUT, '')
    return sum(2 if unicodedata.east_asian_width(c) in 'WF' else 1 for c in s)


def tab(rows, gap=2):
    """Lines of cells parted by | set out in columns."""
    rows = [r.split('|') for r in rows.strip('\n').split('\n')]
    wide = [max(shown(r[i]) for r in rows if i < len(r)) for i in range(max(map(len, rows)))]
    return '\n'.join((' '*gap).join(c + ' '*(wide[i] - shown(c)) for i, c in enumerate(r)).rstrip() for r in rows)


def row(condition, t, *labels):
    """Labels of one line of ratings: the condition, its time limit, and max. unless the label says otherwise."""
    out = []
    for s in labels:
        head, bound, cond, opts = (s.split('|') + ['', '', ''])[:4]
        if not bound and '..' not in head: bound = 'x'
        if t and not head.endswith(' tl'): opts += ' t%d' % t
        out.append('|'.join((head, bound, cond or condition, opts)))
    return out


def number(s):
    v = float(s)
    return int(v) if v == int(v) else v


def places(s):
    return len(s.split('.')[1]) if '.' in s else 0


def digits(s):
    out = []
    for c in unicodedata.normalize('NFKC', s):
        if c in '〇零': out.append('0')
        elif c in '一二三四五六七八九': out.append(str('一二三四五六七八九'.index(c) + 1))
        elif c.isdigit() and c.isascii(): out.append(c)
    return ''.join(out)


def figure(label, span, written):
    head, bound, cond, opts = (label.split('|') + ['', '', ''])[:4]
    value, unit, param = head.split()
    opts = opts.split()
    code, kind = UNITS[unit]
    param = PARAMS[param]
    if param in ('altitude', 'altitude interval'): kind = 'altitude'
    nominal = lo = hi = pm = None
    numbers = re.findall(r'-?\d+(?:\.\d+)?', value.replace('..', ' ').replace('+-', ' ')) if value != 'void' else []
    m = re.fullmatch(r'(.+?)\[(.+?)\.\.(.+?)\]', value)
    if value == 'void': pass
    elif m:
        nominal, lo, hi = map(number, m.groups())
        bound = bound or 'r'
    elif '+-' in value: nominal, pm = map(number, value.split('+-'))
    elif '..' in value:
        lo, hi = map(number, value.split('..'))
        assert lo < hi, label
        bound = bound or 'r'
    else: nominal = number(value)
    if not bound: bound = 'x' if param == 'time limit' else 'n'
    res = next((number(o[1:]) for o in opts if re.fullmatch(r'r[\d.]+', o)), None)
    scaled = res is not None
    if res is None:
        p = max(map(places, numbers), default=0)
        res = 1 if p == 0 else round(10.0**-p, p)
    t = next((int(o[1:]) for o in opts if re.fullmatch(r't\d+', o)), None)
    ref = 'none'
    if kind == 'pressure':
        ref = {'manifold pressure': 'absolute', 'boost': 'sea_level_datum', 'suction': 'differential'}.get(param, 'gauge')
        if param == 'manifold pressure change': ref = 'none'
    ref = next((o[4:] for o in opts if o.startswith('ref=')), ref)
    if not (scaled or 'D' in opts or 'K' in opts or value == 'void'):    # the label must carry the digits that are printed
        assert digits(written).startswith(digits(re.sub(r'\[.*', '', value))), (label, written)
    assert all(re.fullmatch(r'D|K|[rt][\d.]+|ref=\w+', o) for o in opts), label
    return {'span': span, 'as_written': written, 'lo': lo, 'hi': hi, 'nominal': nominal, 'plus_minus': pm, 'unit': code, 'kind': kind,
            'reference': ref, 'bound': BOUNDS[bound], 'parameter': param, 'condition': cond or None, 'time_limit_s': t,
            'damaged': 'D' in opts, 'resolution': res}


def add(tradition, text, *labels):
    flat = []
    for s in labels: flat.extend(s if isinstance(s, list) else [s])
    text = text.strip('\n')
    clean, spans, start = '', [], None
    for c in text:
        if c == OPEN:
            assert start is None, text
            start = len(clean)
        elif c == SHUT:
            spans.append([start, len(clean)])
            start = None
        else: clean += c
    assert start is None and len(spans) == len(flat), (text, len(spans), len(flat))
    ITEMS.append({'id': 'co-%03d' % (len(ITEMS) + 1), 'text': clean, 'tradition': tradition,
                  'figures': [figure(s, sp, clean[sp[0]:sp[1]]) for s, sp in zip(flat, spans)]})


# ---------------------------------------------------------------- German
def g(*a): add('german', *a)


g('LOHBECK Lk 31 B, Motor TANNRIED Td 9 G: zulässige Werte\n' + tab('''
Leistungsstufe|Drehzahl|Ladedruck|Schmierstoff °C||Dauer
|U/min|ata|Eintritt|Austritt|
Start und Not|⟦2.700⟧|⟦1,45⟧|⟦80⟧|⟦110⟧|⟦3 Min.⟧
Steigen und Kampf|⟦2.500⟧|⟦1,32⟧|⟦desgl.⟧|⟦105⟧|⟦30 Min.⟧
Dauerleistung|⟦2.350⟧|⟦1,18⟧|⟦75⟧|⟦95⟧|unbegrenzt'''),
  row('take-off and emergency', 180, '2700 rpm es', '1.45 att mp', '80 C oit', '110 C oot', '3 min tl'),
  row('climb and combat', 1800, '2500 rpm es', '1.32 att mp', '80 C oit|||K', '105 C oot', '30 min tl'),
  row('continuous', None, '2350 rpm es', '1.18 att mp', '75 C oit', '95 C oot'))
g('Schaltet man beim Abbremsen einen Zünder ab, so darf die Drehzahl um nicht mehr als ⟦60 U/min⟧ sinken; zwischen beiden Zündern ist ein Unterschied von höchstens ⟦25 U/min⟧ gestattet.',
  '60 rpm mag|x|run-up', '25 rpm magd|x|between magnetos')
g('Vollgas erst geben, wenn der Schmierstoff am Eintritt wenigstens ⟦+40°⟧ und der Kühlstoff wenigstens ⟦60°⟧ hat.',
  '40 C oit|m|full throttle', '60 C ct|m|full throttle')
g('Kraftstoffanlage: Rumpfbehälter ⟦385 l⟧, Flächenbehälter 2 × ⟦92 l⟧, abwerfbarer Zusatzbehälter ⟦300 Ltr.⟧ Die Warnlampe brennt bei ⟦45 l⟧ Restmenge.',
  '385 L fc||fuselage tank', '92 L fc||wing tank', '300 L fc||drop tank', '45 L fq||low-level warning')
g('Standmotor von ⟦160 PS⟧ Nennleistung. Am Boden soll er ⟦1380 Umdrehungen in der Minute⟧ machen, im Fluge ungefähr ⟦60⟧ mehr. Den Druck im Benzinbehälter hält man mit der Handpumpe auf ⟦0,2 Atm.⟧',
  '160 ps pw||nominal', '1380 rpm es||ground level', '60 rpm esc|a|flight', '0.2 atm ftp')
g('''Anlassen
1. Brandhahn öffnen.
2. Mit der Handpumpe ⟦0,3 kg/qcm⟧ Kraftstoffdruck herstellen.
3. Einspritzen: 4 Hübe unter ⟦minus 10°⟧, sonst 2 Hübe.
4. Schwungkraftanlasser ⟦15 s⟧ hochlaufen lassen, dann kuppeln; Anlaßversuch auf ⟦20 s⟧ begrenzen.
5. Bis zum nächsten Versuch mindestens ⟦1 Min⟧ warten.''',
  '0.3 kcm fp||starting', '-10 C oat|x|starting', '15 s dur||starting', '20 s sot|x', '1 min srt|m|between starts')
g('Im Dauerbetrieb Ladedruck nicht über ⟦I,2O ata⟧, Drehzahl nicht über ⟦Z25O U/min⟧.',
  '1.20 att mp|x|continuous|D', '2250 rpm es|x|continuous|D')
g('Startleistung ⟦1 min⟧ lang: Ladedruck ⟦142 ata⟧ bei ⟦26OO U/min⟧; Schmierstoffdruck im Fluge nicht unter ⟦4 5 kg/cm²⟧ (Normalwert ⟦5,5 kg/cm²⟧).',
  '1 min tl||take-off', '1.42 att mp|x|take-off|t60 D', '2600 rpm es|x|take-off|t60 D', '4.5 kcm op|m|flight|D', '5.5 kcm op||normal')
g('Kühlstoff am Austritt ⟦95 bis 1000 C⟧, äußerstenfalls ⟦1150 C⟧; Schmierstoff am Eintritt ⟦40° bis 800⟧.',
  '95..100 C cot||normal|D', '115 C cot|x||D', '40..80 C oit||normal|D')
g('Fahrtmesseranzeigen in km/h\n' + tab('''
Abheben|⟦145⟧
Bester Steigflug bis ⟦2000 m⟧|⟦190⟧
Gleitflug, alles eingefahren|⟦170 bis 180⟧
Fahrwerk darf ausgefahren werden unter|⟦240⟧
Landeklappen auf ⟦20°⟧ nicht über|⟦220⟧
Landeklappen voll nicht über|⟦185⟧
Im Sturzflug nie mehr als|⟦650⟧'''),
  '145 kmh as||lift-off', '2000 m alt|x|climb', '190 kmh as||climb', '170..180 kmh as||glide', '240 kmh as|x|undercarriage down',
  '20 deg fa', '220 kmh as|x|flaps 20 deg', '185 kmh as|x|flaps full', '650 kmh as|x|dive')
g('Je Stunde werden an Öl ⟦4 bis 6 Liter⟧, an Benzin rund ⟦58 Liter⟧ verbraucht; der Ölbehälter faßt ⟦22 Liter⟧.',
  '4..6 L/h ocon', '58 L/h fcon|a', '22 L oc')
g('Fülldrücke (atü)\n' + tab('''
Laufräder|⟦5,25⟧
Spornrad|⟦3,5⟧
Hauptfederstrebe links|⟦42 ± 2⟧
Hauptfederstrebe rechts|⟦desgl.⟧
Preßluftflasche|⟦150⟧
Sauerstofflasche|⟦desgl.⟧'''),
  '5.25 att tyre||main wheels', '3.5 att tyre||tail wheel', '42+-2 att strut||main legs', '42+-2 att strut||main legs|K',
  '150 att pneu||full bottle', '150 att oxy||full bottle|K')
g('Nennleistung ⟦1 475 PS⟧ im Bodenlader bis zur Volldruckhöhe ⟦2,1 km⟧, im Höhenlader ⟦1 310 PS⟧ in ⟦5,7 km⟧.',
  '1475 ps pw||nominal, low blower', '2.1 km alt||nominal, low blower', '1310 ps pw||nominal, high blower', '5.7 km alt||nominal, high blower')
g("Dauernd sind höchstens ⟦2'150 T/min⟧ zulässig; ein Überdrehen auf ⟦2'600 T/min⟧ darf nicht länger als ⟦20 Sekunden⟧ dauern.",
  '2150 rpm es|x|continuous', '2600 rpm es|x|overspeed|t20', '20 s tl||overspeed')
g('D. 7719/3, Ausgabe Februar 1942, Nachtrag 2; Bild 27 bis 31, Seite 44, lfd. Nr. 6, Gerät-Nr. 9-6021 A. Geprüft 14. 3. 42, 10.30 Uhr; Fernruf 118, App. 26.')
g('Lieferumfang: 12 Zündkerzen, 4 Sätze Dichtringe (Teil 9-811.207), 2 Luftschrauben L 31, Werknummern 20 117 bis 20 129; Betriebsstoff B 4 (87 Oktan), Reifen 840 × 300.')
g('Verdichtung ⟦1 : 6,8⟧, Untersetzung der Luftschraube ⟦1,55 : 1⟧, Bohrung ⟦150⟧, Hub ⟦165 mm⟧, Hubraum ⟦35 l⟧.',
  '6.8 1 cr|||K', '1.55 1 gr', '150 mm bore', '165 mm stroke', '35 L sv')
g('Leergewicht ⟦1.985 kg⟧; größtes zulässiges Startgewicht ⟦2.640 kg⟧; gelandet werden soll nicht schwerer als mit ⟦2.450 kg⟧.',
  '1985 kg wt||empty', '2640 kg wt|x|take-off', '2450 kg wt|x|landing')
g('Steiggeschwindigkeit in Bodennähe ⟦12,4 m/sek⟧, in ⟦4000 m⟧ noch ⟦9 m/sek⟧. Auf ⟦6000 m⟧ steigt das Muster in ⟦8 min 30 s⟧; Dienstgipfelhöhe ⟦9,8 km⟧.',
  '12.4 ms roc||ground level', '4000 m alt||climb', '9 ms roc||climb', '6000 m alt||climb', '8.5 min dur||climb|K r0.0167', '9.8 km alt||service ceiling')
g('Prisoner\'s notebook (in translation): Td 9 G engine. For the start ⟦1.45 atm. abs.⟧ and ⟦2700 revs.⟧, ⟦3 min.⟧ only; for the climb ⟦1.32⟧ and ⟦2500⟧, ⟦half an hour⟧. Oil ⟦5 to 7 atm.⟧',
  '1.45 att mp|x|take-off|t180', '2700 rpm es|x|take-off|t180', '3 min tl||take-off', '1.32 att mp|x|climb|t1800', '2500 rpm es|x|climb|t1800',
  '0.5 h tl||climb|K r0.5', '5..7 atm op')
g('Vor dem Umschalten auf den Höhenlader darf der Ladedruck auf ⟦88 cm Quecksilbersäule⟧ abgesunken sein; im Reiseflug hält man ⟦82 cm⟧.',
  '88 cmhg mp||gear change', '82 cmhg mp||cruise')
g('Leistungstafel Td 11\n' + tab('''
|Start|Steigflug|Reiseflug
Drehzahl, U/min|⟦2600⟧|⟦2400⟧|⟦2100⟧
Ladedruck, ata|⟦1,40⟧|⟦1,30⟧|⟦1,10⟧
Leistung, PS|⟦1.340⟧|⟦1.180⟧|⟦860⟧
Zeitgrenze|⟦1 min⟧|⟦30 min⟧|unbegrenzt''', 3),
  '2600 rpm es|x|take-off|t60', '2400 rpm es|x|climb|t1800', '2100 rpm es|x|cruise', '1.40 att mp|x|take-off|t60', '1.30 att mp|x|climb|t1800',
  '1.10 att mp|x|cruise', '1340 ps pw|x|take-off|t60', '1180 ps pw|x|climb|t1800', '860 ps pw|x|cruise', '1 min tl||take-off', '30 min tl||climb')
g('Der alte Ladedruckmesser zeigt Überdruck gegen Atmosphäre: beim Start ⟦0,35 atü⟧, im Steigflug ⟦0,2 atü⟧.',
  '0.35 att mp||take-off|ref=gauge', '0.2 att mp||climb|ref=gauge')
g('Sollwerte bei Dauerleistung: Öl ⟦5 at⟧, Ladedruck ⟦1,2 at⟧, Kraftstoff ⟦1,5 at⟧; Bremsleitung ⟦30 at⟧, Reifen ⟦4 at⟧.',
  '5 att op||continuous', '1.2 att mp||continuous', '1.5 att fp||continuous', '30 att bp', '4 att tyre')
g('Leerlauf ⟦450—500 U/min⟧, Öldruck dabei nicht unter ⟦1½ at⟧. Warmlaufen mit ⟦900...1000 Upm⟧, bis das Öl ⟦30° C⟧ erreicht hat.',
  '450..500 rpm es||idling', '1.5 att op|m|idling|r0.5', '900..1000 rpm es||warm-up', '30 C ot|m|warm-up')
g('Öldruck normal ⟦4,? atü⟧, mindestens ⟦2,8 atii⟧; Drehzahl im Stand ⟦2?00 U/min⟧ [Lochung]',
  'void att op||normal|D r0.1', '2.8 att op|m||D', 'void rpm es||static|D')
g('Höchstdrehzahl⟦2 6 5 0 U/min⟧ Ladedruck⟦1,38ata⟧ Kühlstoff⟦ll0°C⟧ im Kampf nicht überschreiten !',
  '2650 rpm es|x|combat|D', '1.38 att mp|x|combat', '110 C ct|x|combat|D')
g('Drehzahlmesser in Hunderten geteilt: Leerlauf nicht unter ⟦6⟧, grünes Feld ⟦16 bis 24⟧, roter Strich ⟦27⟧.',
  '600 rpm es|m|idling|r100', '1600..2400 rpm es||green arc|r100', '2700 rpm es|x|red line|r100')
g('Kaltstart. Sind nachts ⟦–5 bis –20°⟧ zu erwarten, so wird dem Schmierstoff ⟦10 v. H.⟧ Kraftstoff beigemischt: ⟦3 Minuten⟧ bei ⟦1000 U/min⟧, Schmierstofftemperatur nicht über ⟦50°⟧.',
  '-20..-5 C oat||oil dilution|K', '10 % dil', '3 min odt', '1000 rpm es||oil dilution', '50 C ot|x|oil dilution')
g('Die Druckölpumpe schaltet bei ⟦110 kg/cm²⟧ ab, bei ⟦75 kg/cm²⟧ wieder zu; das Überdruckventil ist auf ⟦130 + 5 - 0 kg/cm²⟧ eingestellt. Vorspannung des Druckspeichers ⟦45 ± 2 kg/cm²⟧.',
  '110 kcm hyp||cut-out', '75 kcm hyp||cut-in', '130[130..135] kcm hyp||relief valve', '45+-2 kcm hac||precharge')
g('Ventilspiel bei kaltem Motor: Einlaß ⟦0,30 mm⟧, Auslaß ⟦0,45 mm⟧. Unterbrecher ⟦0,35 + 0,05 mm⟧, Kerzenelektroden ⟦4/10 mm⟧. Vorzündung ⟦38° v. o. T.⟧',
  '0.30 mm vc||inlet', '0.45 mm vc||exhaust', '0.35[0.35..0.40] mm cbg', '0.4 mm pg|||r0.1', '38 deg ign')
g('Muttern der Zylinderfüße mit ⟦14 mkg⟧, Zündkerzen mit ⟦3,5 bis 4 mkg⟧, Nabenmutter mit mindestens ⟦60 mkg⟧ anziehen.',
  '14 kgm tq||cylinder nuts', '3.5..4 kgm tq||spark plugs', '60 kgm tq|m|propeller hub nut')
g('Schulflugzeug Hagenfurt H 2: leer ⟦318,500 kg⟧, flugfertig beladen ⟦545,250 kg⟧. Überziehgeschwindigkeit etwa ⟦62 km/std⟧.',
  '318.500 kg wt||empty', '545.250 kg wt||loaded', '62 kmh stall|a')
g('Kampfleistung höchstens ⟦10 Minuten⟧ bei ⟦2600 U/min⟧: mit B 4 ⟦1,35 ata⟧, mit C 3 ⟦1,50 ata⟧.',
  '10 min tl||combat', '2600 rpm es|x|combat|t600', '1.35 att mp|x|combat, B4|t600', '1.50 att mp|x|combat, C3|t600')
g('Im Sparflug bei ⟦260 km/h⟧ in ⟦3 km⟧ Höhe braucht das Muster ⟦0,62 kg/km⟧, also ca. ⟦160 kg/h⟧; damit reicht der Vorrat für ⟦4½ Stunden⟧ oder ⟦1 150 km⟧.',
  '260 kmh as||economical cruise', '3 km alt||economical cruise', '0.62 kg/km fkm||economical cruise', '160 kg/h fcon|a|economical cruise',
  '4.5 h end||economical cruise|r0.5', '1150 km range||economical cruise')

# ---------------------------------------------------------------- Soviet
def s(*a): add('soviet', *a)


s('«Кулик-4» с мотором ГБ-62. Предельные значения\n' + tab('''
Режим|Обороты|Наддув|Масло, °С||Время,
|об/мин|мм рт. ст.|вход|выход|мин
Взлётный|⟦2 650⟧|⟦1180⟧|⟦75⟧|⟦105⟧|⟦3⟧
Номинальный, 1-я скорость|⟦2 450⟧|⟦1050⟧|⟦то же⟧|⟦100⟧|⟦60⟧
Номинальный, 2-я скорость|⟦то же⟧|⟦1020⟧|⟦то же⟧|⟦100⟧|⟦60⟧
Крейсерский|⟦2 150⟧|⟦860⟧|⟦70⟧|⟦95⟧|без огр.'''),
  row('take-off', 180, '2650 rpm es', '1180 mmhg mp', '75 C oit', '105 C oot', '3 min tl'),
  row('nominal, low blower', 3600, '2450 rpm es', '1050 mmhg mp', '75 C oit|||K', '100 C oot', '60 min tl'),
  row('nominal, high blower', 3600, '2450 rpm es|||K', '1020 mmhg mp', '75 C oit|||K', '100 C oot', '60 min tl'),
  row('cruise', None, '2150 rpm es', '860 mmhg mp', '70 C oit', '95 C oot'))
s('Выруливать на взлёт разрешается, если масло на входе прогрето не ниже ⟦35°⟧, вода на выходе — не ниже ⟦60° С⟧, а головки — не менее ⟦120°⟧.',
  '35 C oit|m|take-off', '60 C cot|m|take-off', '120 C cht|m|take-off')
s('Давление масла ⟦б—8 кг/см2⟧, на малых оборотах не менее ⟦З кг/см2⟧. Температура масла на выходе не выше ⟦1О5°⟧.',
  '6..8 kcm op||normal|D', '3 kcm op|m|idling|D', '105 C oot|x||D')
s('Пневматики основных колёс накачивать до ⟦4,5 ати⟧, костыльного — до ⟦3,25 ати⟧. Амортизаторы шасси: ⟦36 ати⟧; костыля: ⟦22 ати⟧.',
  '4.5 att tyre||main wheels', '3.25 att tyre||tail wheel', '36 att strut||main legs', '22 att strut||tail leg')
s('VZLIOTNYI REZHIM: ⟦2400 ob/min⟧, nadduv ⟦1065 mm rt. st.⟧, ne bolee ⟦5 min.⟧\nNOMINALNYI: ⟦2250 ob/min⟧, nadduv ⟦950 mm⟧, bez ogranicheniya',
  row('take-off', 300, '2400 rpm es', '1065 mmhg mp', '5 min tl'), row('nominal', None, '2250 rpm es', '950 mmhg mp'))
s('Главный бак ⟦280 л⟧, крыльевые баки 2×⟦155 л⟧, подвесные по ⟦100 л⟧. Маслобак ⟦45 л⟧, нормальная заправка ⟦38 л⟧.',
  '280 L fc||main tank', '155 L fc||wing tank', '100 L fc||drop tank', '45 L oc', '38 L oc||normal fill')
s('Скорость отрыва ⟦170—175 км/час⟧, в наборе держать ⟦220 км/час⟧, на планировании ⟦190⟧. Щитки выпускать на скорости ниже ⟦210 км/час⟧; посадочная скорость около ⟦140 км/час⟧.',
  '170..175 kmh as||lift-off', '220 kmh as||climb', '190 kmh as||glide', '210 kmh as|x|flaps down', '140 kmh as|a|landing')
s('Формуляр № 30214. Мотор выпущен 17.II.41 г., прошёл 2-й ремонт (завод № 6); см. бюллетень 88-Б, п. 14, черт. 62-1103. В комплекте: свечей 28, магнето 2.')
s('Экипаж 3 чел., пулемётов 4. Вылет 12 июля в 06.40, посадка в 09.15; горючее с октановым числом 87. Приказ № 0231, л. 5—7.')
s('Взлётная мощность ⟦1 350 л. с.⟧ Номинальная: на первой скорости ⟦1 240 л. с.⟧ на высоте ⟦2 100 м⟧, на второй ⟦1 120 л. с.⟧ на ⟦4 800 м⟧.',
  '1350 ps pw||take-off', '1240 ps pw||nominal, low blower', '2100 m alt||nominal, low blower', '1120 ps pw||nominal, high blower', '4800 m alt||nominal, high blower')
s('Проверка магнето: на ⟦2000 об/мин⟧ выключать поочерёдно, падение не должно превышать ⟦60 об/мин⟧, а разница между ними — ⟦25⟧.',
  '2000 rpm es||magneto check', '60 rpm mag|x|magneto check', '25 rpm magd|x|between magnetos')
s('Зазоры клапанов: впуск ⟦0,3 мм⟧, выпуск ⟦0,45 мм⟧. Зазор между электродами свечи ⟦0,35—0,40 мм⟧, контакты прерывателя ⟦0,25 ÷ 0,35 мм⟧.',
  '0.3 mm vc||inlet', '0.45 mm vc||exhaust', '0.35..0.40 mm pg', '0.25..0.35 mm cbg')
s('На крейсерском режиме удельный расход бензина ⟦220—235 г/л. с. ч.⟧, масла ⟦6—10 г/л. с. ч.⟧; часовой ⟦310 л/час⟧, километровый ⟦0,92 кг/км⟧.',
  '220..235 g/ps sfc||cruise', '6..10 g/ps soc||cruise', '310 L/h fcon||cruise', '0.92 kg/km fkm||cruise')
s('Головки цилиндров: на взлёте не выше ⟦2400⟧, на номинале не выше ⟦215°⟧, рекомендуемая ⟦160—1900⟧.',
  '240 C cht|x|take-off|D', '215 C cht|x|nominal', '160..190 C cht||recommended|D')
s('Давление бензина перед карбюратором ⟦0,25-035 кг/см²⟧. Редукционный клапан водяной системы открывается при ⟦О,З ати⟧.',
  '0.25..0.35 kcm fp||normal|D', '0.3 att csp||relief valve|D')
s('Гидросистема. Автомат разгрузки выключает насос при ⟦75 ± 3 кг/кв. см⟧ и включает при ⟦60 кг/кв. см⟧; предохранительный клапан срабатывает при ⟦90 кг/кв. см⟧.',
  '75+-3 kcm hyp||cut-out', '60 kcm hyp||cut-in', '90 kcm hyp||relief valve')
s('''Запуск
а) давление в пусковом баллоне не менее ⟦40 ати⟧;
б) залить 3—4 шприца бензина, зимой 6—8;
в) стартёр включать не долее ⟦10 сек.⟧;
г) перерыв не менее ⟦1 мин.⟧, после трёх запусков — ⟦10 мин.⟧''',
  '40 att sap|m|starting', '10 s sot|x', '1 min srt|m|between starts', '10 min srt|m|after three starts')
s('Скороподъёмность у земли ⟦14,2 м/сек⟧, на высоте ⟦5 000 м⟧ — ⟦10,5 м/сек⟧. Время подъёма на ⟦5 000 м⟧ ⟦6,4 мин.⟧, практический потолок ⟦9 200 м⟧.',
  '14.2 ms roc||ground level', '5000 m alt||climb', '10.5 ms roc||climb', '5000 m alt||climb', '6.4 min dur||climb', '9200 m alt||service ceiling')
s('Если ожидается ниже ⟦−15° С⟧, масло разжижать бензином (не более ⟦12 %⟧): ⟦4 мин.⟧ на ⟦900—1000 об/мин⟧ при масле на входе не выше ⟦45°⟧.',
  '-15 C oat|x|oil dilution|K', '12 % dil|x', '4 min odt', '900..1000 rpm es||oil dilution', '45 C oit|x|oil dilution')
s('Для импортного мотора: взлёт ⟦44 дюйма рт. ст.⟧ и ⟦2700 об/мин⟧, не свыше ⟦5 мин.⟧; масло ⟦75—90 ф/кв. д.⟧, бензин ⟦15 ф/кв. д.⟧',
  row('take-off', 300, '44 inhg mp', '2700 rpm es', '5 min tl'), '75..90 psi op', '15 psi fp')
s('На форсаже (до ⟦2 мин.⟧) вода на выходе может доходить до ⟦115°⟧, обороты — до ⟦2 800 в минуту⟧.',
  '2 min tl||forced', '115 C cot|x|forced|t120', '2800 rpm es|x|forced|t120')
s('При пикировании скорость не более ⟦630 км/час⟧, раскрутка винта не свыше ⟦2 750 об/мин⟧ и не дольше ⟦30 секунд⟧.',
  '630 kmh as|x|dive', '2750 rpm es|x|dive|t30', '30 s tl||dive')
s('Вес пустого самолёта ⟦2 4?0 кг⟧, полётный ⟦3 180 кг⟧, горючего ⟦3З0 кг⟧ [пятно на листе]',
  'void kg wt||empty|D', '3180 kg wt||loaded', '330 kg fq|||D')
s('Режим набора:обороты⟦2350об/мин⟧,наддув⟦9 6 0 мм рт.ст.⟧,масло на входе не выше⟦8О°⟧',
  '2350 rpm es||climb', '960 mmhg mp||climb|D', '80 C oit|x|climb|D')
s('Разрежение в сети гироприборов ⟦90...130 мм рт. ст.⟧; при работе менее ⟦75 мм рт. ст.⟧ авиагоризонту не верить.',
  '90..130 mmhg suc||normal', '75 mmhg suc|m')
s('Тормоза: давление в колёсах ⟦6—8 атм⟧. Баллон кислорода заряжать до ⟦150 атм⟧, при остатке ⟦30 атм⟧ снижаться.',
  '6..8 atm bp', '150 atm oxy||full bottle', '30 atm oxy|m')
s('Режимы ЛД-12 у земли (высота ⟦0 м⟧)\n' + tab('''
|Взлёт|Набор|Крейсер
Обороты, об/мин|⟦2300⟧|⟦2150⟧|⟦1900⟧
Наддув, мм рт. ст.|⟦1000⟧|⟦930⟧|⟦780⟧
Мощность, л. с.|⟦730⟧|⟦640⟧|⟦450⟧
Продолжительность|⟦5 мин.⟧|⟦1 час⟧|не огранич.''', 3),
  '0 m alt||ground level', '2300 rpm es|x|take-off|t300', '2150 rpm es|x|climb|t3600', '1900 rpm es|x|cruise', '1000 mmhg mp|x|take-off|t300', '930 mmhg mp|x|climb|t3600',
  '780 mmhg mp|x|cruise', '730 ps pw|x|take-off|t300', '640 ps pw|x|climb|t3600', '450 ps pw|x|cruise', '5 min tl||take-off', '1 h tl||climb')
s('Наддув на взлёте ⟦1,35 ата⟧, длительно не выше ⟦1,15 ата⟧. Винт изменяемого шага: углы ⟦18°—38°⟧; регулятор держит ⟦1600—2400 об/мин⟧.',
  '1.35 att mp||take-off', '1.15 att mp|x|continuous', '18..38 deg pitch', '1600..2400 rpm es||governed range')
s('Перед остановкой поработать ⟦2—3 мин.⟧ на ⟦800—1000 об/мин⟧, пока температура головок не упадёт ниже ⟦150°⟧.',
  '2..3 min dur||cooling before stop', '800..1000 rpm es||cooling before stop', '150 C cht|x|cooling before stop')
s('Interrogation notes, pilot of a Soviet fighter: at take-off the boost gauge showed ⟦1180 mm.⟧ with ⟦2,650 revs.⟧, permitted for ⟦3 minutes⟧; water usually ⟦85 deg. C.⟧, never over ⟦110⟧; the wing tank held ⟦160 litres⟧.',
  row('take-off', 180, '1180 mmhg mp', '2650 rpm es', '3 min tl'), '85 C ct||normal', '110 C ct|x', '160 L fc||wing tank')

# ---------------------------------------------------------------- French
def f(*a): add('french', *a)


f('VERDELON 14 Ba — Limites d\'emploi\n' + tab('''
Régime|Tours|P.A.|Huile °C||Culasses|Durée
|t/mn|mm Hg|entrée|sortie|°C|
Décollage|⟦2.350⟧|⟦985⟧|⟦75⟧|⟦95⟧|⟦250⟧|⟦3 mn⟧
Montée|⟦2.250⟧|⟦920⟧|⟦id.⟧|⟦id.⟧|⟦230⟧|⟦30 mn⟧
Croisière|⟦2.000⟧|⟦790⟧|⟦70⟧|⟦90⟧|⟦205⟧|illimitée'''),
  row('take-off', 180, '2350 rpm es', '985 mmhg mp', '75 C oit', '95 C oot', '250 C cht', '3 min tl'),
  row('climb', 1800, '2250 rpm es', '920 mmhg mp', '75 C oit|||K', '95 C oot|||K', '230 C cht', '30 min tl'),
  row('cruise', None, '2000 rpm es', '790 mmhg mp', '70 C oit', '90 C oot', '205 C cht'))
f('Au point fixe on doit obtenir ⟦2 250 tr/mn ± 50⟧. Couper successivement chaque magnéto : la chute restera inférieure à ⟦100 tours⟧.',
  '2250+-50 rpm es||ground test', '100 rpm mag|x|ground test')
f('Lire au manomètre d\'admission ⟦95 pièzes⟧ au décollage, ⟦85⟧ en montée et ⟦70⟧ en croisière.',
  '95 kpa mp||take-off', '85 kpa mp||climb', '70 kpa mp||cruise')
f('Pression d\'admission : ⟦l,2O hpz⟧ au plus pendant ⟦5 mn⟧ en surpuissance, ⟦1,O5 hpz⟧ en montée.',
  '1.20 bar mp|x|emergency|t300 D', '5 min tl||emergency', '1.05 bar mp||climb|D')
f('Ne sortir le train qu\'au-dessous de ⟦220 km/h⟧. Volets à ⟦15°⟧ : ⟦200 km/h⟧ au plus ; plein braquage : ⟦165 km/h⟧ au plus. Vitesse de décrochage, lisse, environ ⟦118 km/h⟧.',
  '220 kmh as|x|undercarriage down', '15 deg fa', '200 kmh as|x|flaps 15 deg', '165 kmh as|x|flaps full', '118 kmh stall|a|clean')
f('Essence : deux réservoirs d\'aile de ⟦175 l⟧ chacun, un de fuselage de ⟦240 l⟧, nourrice de réserve ⟦60 l⟧. Huile : ⟦42 l⟧, plein normal ⟦36 l⟧.',
  '175 L fc||wing tank', '240 L fc||fuselage tank', '60 L fc||reserve', '42 L oc', '36 L oc||normal fill')
f('Notice technique n° 318/B, additif 2 du 4 juin 1938 ; pl. XIV, fig. 22 à 25, repères 107 et 108 ; marché n° 1.244/7, lot 3.')
f('Le bimoteur Malvergne 71 (n° 12 à 37) comporte 2 moteurs de 9 cylindres, 36 bougies et des hélices tripales ; essence à 85 octane ; roues de 750 × 260. Réception à 14 h 30.')
f('En surpuissance ⟦2.450 t/mn⟧ et P.A. ⟦1.020 m/m⟧, ⟦cinq minutes⟧ au plus ; revenir ensuite à ⟦2.250 t/mn⟧ pour la montée.',
  row('emergency', 300, '2450 rpm es', '1020 mmhg mp', '5 min tl|||K'), '2250 rpm es||climb')
f('Pression d\'essence ⟦250 à 300 g/cm²⟧, mini ⟦180 g/cm²⟧.', '250..300 gcm fp||normal', '180 gcm fp|m')
f('Huile chaude : ⟦5,5 kg⟧ au manomètre, jamais moins de ⟦3,5 kg⟧ en vol ; ⟦1,5 kg⟧ mini au ralenti.',
  '5.5 kcm op||normal', '3.5 kcm op|m|flight', '1.5 kcm op|m|idling')
f('Croisière économique : ⟦215 gr/CV/h⟧, soit environ ⟦145 l/h⟧ d\'essence ; huile ⟦6 à 8 gr/CV/h⟧. Autonomie ⟦5 h 30⟧.',
  '215 g/ps sfc||economical cruise', '145 L/h fcon|a|economical cruise', '6..8 g/ps soc||economical cruise', '5.5 h end||economical cruise|K r0.0167')
f('Monter à ⟦210 km/h⟧ badin : ⟦8,5 m/s⟧ au sol, ⟦5 m/s⟧ à ⟦4.000 m⟧. Plafond pratique ⟦8.600 m⟧.',
  '210 kmh as||climb', '8.5 ms roc||ground level', '5 ms roc||climb', '4000 m alt||climb', '8600 m alt||service ceiling')
f('Gonflage\n' + tab('''
Pneus de roues|⟦3,25 kg/cm²⟧
Pneu de béquille|⟦2 —⟧
Amortisseurs principaux|⟦28 à 30 —⟧
Bouteille d'air, pleine|⟦150 —⟧
Freins, levier serré|⟦12 —⟧'''),
  '3.25 kcm tyre||main wheels', '2 kcm tyre||tail wheel', '28..30 kcm strut||main legs', '150 kcm pneu||full bottle', '12 kcm bp')
f('''Mise en route
a) bouteille de démarrage à ⟦25 kg/cm²⟧ au minimum ;
b) par moins de ⟦– 5°⟧ donner 6 injections au lieu de 3 ;
c) lancer ⟦8 secondes⟧ au plus ; laisser reposer ⟦deux minutes⟧ ;
d) réchauffer à ⟦800 — 900 tours⟧ jusqu'à ⟦40°⟧ d'huile.''',
  '25 kcm sap|m|starting', '-5 C oat|x|starting|K', '8 s sot|x', '2 min srt|m|between starts|K', '800..900 rpm es||warm-up', '40 C ot|m|warm-up')
f('Eau à la sortie : ⟦85° à 95°⟧ ; ⟦1050⟧ à ne pas dépasser ; huile à l\'entrée ⟦5O° à 7O°⟧.',
  '85..95 C cot||normal', '105 C cot|x||D', '50..70 C oit||normal|D')
f('Huile : entrée ⟦7? °C⟧ [tache], sortie ⟦95 °C⟧ max. ; pression ⟦?,5 kg/cm²⟧.',
  'void C oit|||D', '95 C oot|x', 'void kcm op|||D r0.1')
f('Moteur AUBRISSAC 9 F, essence 80\n' + tab('''
|Décollage|Montée|Croisière
Régime (tr/mn)|⟦2 200⟧|⟦2 100⟧|⟦1 850⟧
Admission (hpz)|⟦1,18⟧|⟦1,08⟧|⟦0,90⟧
Puissance (ch)|⟦480⟧|⟦420⟧|⟦290⟧
Durée|⟦2 mn⟧|⟦20 mn⟧|—''', 3),
  '2200 rpm es|x|take-off|t120', '2100 rpm es|x|climb|t1200', '1850 rpm es|x|cruise', '1.18 bar mp|x|take-off|t120', '1.08 bar mp|x|climb|t1200',
  '0.90 bar mp|x|cruise', '480 ps pw|x|take-off|t120', '420 ps pw|x|climb|t1200', '290 ps pw|x|cruise', '2 min tl||take-off', '20 min tl||climb')
f('Jeu des soupapes à froid : admission ⟦25/100 mm⟧, échappement ⟦40/100 mm⟧ ; bougies ⟦0,4 mm⟧ ; avance ⟦32° avant P.M.H.⟧',
  '0.25 mm vc||inlet|r0.01', '0.40 mm vc||exhaust|r0.01', '0.4 mm pg', '32 deg ign')
f('Écrou de moyeu : serrer à ⟦45 mkg ± 2⟧ ; écrous de cylindre : de ⟦4,5 à 5 mkg⟧. Révision générale toutes les ⟦250 heures⟧.',
  '45+-2 kgm tq||propeller hub nut', '4.5..5 kgm tq||cylinder nuts', '250 h tbo')
f('Masse à vide ⟦1.845 kg⟧, en charge ⟦2.620 kg⟧ ; à l\'atterrissage ne pas dépasser ⟦2.400 kg⟧.',
  '1845 kg wt||empty', '2620 kg wt||loaded', '2400 kg wt|x|landing')
f('L\'huile à l\'entrée se tiendra de ⟦50 à 70 degrés⟧, l\'eau entre ⟦80 et 90⟧, les culasses à ⟦220⟧ au maximum.',
  '50..70 C oit||normal', '80..90 C ct||normal', '220 C cht|x')
f('Dépression des gyros : entre ⟦90 et 120 mm Hg⟧. Batterie ⟦24 volts⟧, charge ⟦40 A⟧ au plus.',
  '90..120 mmhg suc||normal', '24 V volt', '40 A cur|x|charging')
f('Piqué : vitesse limite ⟦58O km/h⟧, régime maximum ⟦2.7OO t/mn⟧ pendant ⟦l5 s⟧ seulement.',
  '580 kmh as|x|dive|D', '2700 rpm es|x|dive|t15 D', '15 s tl||dive|D')
f(tab('''
Réservoir gauche|⟦110 litres⟧
Réservoir droit|⟦d°⟧
Réservoir principal|⟦185 litres⟧
Huile|⟦24 d°⟧, plus ⟦4 litres⟧ de vide'''),
  '110 L fc||left tank', '110 L fc||right tank|K', '185 L fc||main tank', '24 L oc', '4 L tas||air space')
f('Taux de compression ⟦6,2⟧ ; réducteur ⟦0,66⟧ ; alésage ⟦146 mm⟧, course ⟦165⟧ ; cylindrée totale ⟦38,7 l⟧.',
  '6.2 1 cr', '0.66 1 gr', '146 mm bore', '165 mm stroke', '38.7 L sv')
f('Hélice : petit pas ⟦16°⟧, grand pas ⟦34°⟧ ; le régulateur agit entre ⟦1 900 et 2 400 t/mn⟧. Survitesse admise ⟦2 650 t/mn⟧ ⟦20"⟧.',
  '16 deg pitch||fine pitch', '34 deg pitch||coarse pitch', '1900..2400 rpm es||governed range', '2650 rpm es|x|overspeed|t20', '20 s tl||overspeed')
f('Circuit hydraulique : le disjoncteur coupe la pompe à ⟦70 hpz⟧ et la remet à ⟦55 hpz⟧ ; gonfler l\'accumulateur à ⟦30 hpz⟧.',
  '70 bar hyp||cut-out', '55 bar hyp||cut-in', '30 bar hac||precharge')

# ---------------------------------------------------------------- Italian
def i(*a): add('italian', *a)


i('ROCCASPINA R.31 - Motore CALDERISI C.12 RC - Limiti d\'impiego\n' + tab('''
Regime|giri/1'|press. alim.|olio °C||teste|durata
||mm Hg|entrata|uscita|°C|
Decollo|⟦2.300⟧|⟦940⟧|⟦80⟧|⟦95⟧|⟦245⟧|⟦2'⟧
Salita|⟦2.200⟧|⟦880⟧|⟦id.⟧|⟦id.⟧|⟦235⟧|⟦30'⟧
Crociera|⟦1.950⟧|⟦770⟧|⟦70⟧|⟦85⟧|⟦210⟧|continua'''),
  row('take-off', 120, '2300 rpm es', '940 mmhg mp', '80 C oit', '95 C oot', '245 C cht', '2 min tl'),
  row('climb', 1800, '2200 rpm es', '880 mmhg mp', '80 C oit|||K', '95 C oot|||K', '235 C cht', '30 min tl'),
  row('cruise', None, '1950 rpm es', '770 mmhg mp', '70 C oit', '85 C oot', '210 C cht'))
i('Pressione dell\'olio da ⟦4,5 a 6 atm.⟧; col motore al minimo non inferiore a ⟦2 atm.⟧', '4.5..6 atm op||normal', '2 atm op|m|idling')
i('Serbatoi benzina: anteriore lt. ⟦120⟧, ala lt. ⟦85⟧ ciascuno, riserva lt. ⟦30⟧. Olio kg. ⟦28⟧.',
  '120 L fc||front tank', '85 L fc||wing tank', '30 L fc||reserve', '28 kg oc')
i('Potenza nominale CV ⟦840⟧ a quota m. ⟦4.200⟧ con giri ⟦2.350⟧; al decollo CV ⟦910⟧.',
  '840 ps pw||nominal', '4200 m alt||nominal', '2350 rpm es||nominal', '910 ps pw||take-off')
i('Temperatura olio in entrata ⟦55 -:--:- 75 °C⟧, pressione benzina ⟦0,2-7-0,3 Kg/cmq⟧, pressione olio ⟦5 .;- 7 Kg/cmq⟧.',
  '55..75 C oit||normal|D', '0.2..0.3 kcm fp||normal|D', '5..7 kcm op||normal|D')
i('Velocità di salita Km./ora ⟦200⟧; in planata ⟦180⟧; in affondata mai oltre Km./ora ⟦620⟧. Stallo a circa Km./ora ⟦125⟧.',
  '200 kmh as||climb', '180 kmh as||glide', '620 kmh as|x|dive', '125 kmh stall|a')
i('Circolare 2217 del 15-9-1941-XIX, fasc. 3°, tav. VIII, figg. 12-14; annulla la 1880. M.M. dal n. 40511 al n. 40536.')
i('Dotazione: 18 candele, 2 magneti tipo V.9, 4 fasce elastiche per stantuffo (part. 31/207); benzina 87 N.O., ruote 700 × 200. Collaudo ore 8,45 del 3 maggio, pratica 66.')
i('''AVVIAMENTO
1) Aria nella bombola d'avviamento: almeno Kg/cmq ⟦80⟧.
2) Cicchetti: 5 (motore freddo), 2 (motore caldo).
3) Non insistere oltre ⟦15"⟧; intervallo di almeno ⟦1'⟧.
4) Scaldare a ⟦900 ÷ 1000 giri⟧ finché l'olio segna almeno ⟦35°⟧.''',
  '80 kcm sap|m|starting', '15 s sot|x', '1 min srt|m|between starts', '900..1000 rpm es||warm-up', '35 C ot|m|warm-up')
i('Esclusione dei magneti a ⟦1.900 giri/1\'⟧: la caduta non deve superare ⟦80 giri⟧ e la differenza fra i due ⟦30 giri⟧.',
  '1900 rpm es||magneto check', '80 rpm mag|x|magneto check', '30 rpm magd|x|between magnetos')
i('Gonfiaggio: ruote atm. ⟦3,75⟧, ruotino atm. ⟦2,5⟧, ammortizzatori ⟦32 ± 1 Kg/cmq⟧, bombola aria Kg/cmq ⟦150⟧.',
  '3.75 atm tyre||main wheels', '2.5 atm tyre||tail wheel', '32+-1 kcm strut||main legs', '150 kcm pneu||full bottle')
i('Fino a m. ⟦1.500⟧ la pressione di alimentazione non deve passare ⟦910 mm Hg⟧ in salita; in superpotenza ⟦960 mm⟧ per ⟦1 minuto primo⟧ al massimo.',
  '1500 m alt|x|climb', '910 mmhg mp|x|climb', '960 mmhg mp|x|emergency|t60', '1 min tl||emergency')
i('Al decollo ⟦1,35 ata⟧ e ⟦2.500 g/1\'⟧ (max ⟦5 min⟧); in crociera non oltre ⟦1,05 ata⟧.',
  row('take-off', 300, '1.35 att mp', '2500 rpm es', '5 min tl'), '1.05 att mp|x|cruise')
i('Consumo in crociera ⟦225 gr/CV.h⟧, pari a litri/ora ⟦165⟧; olio da ⟦7 a 9 gr/CV.h⟧. Autonomia ore ⟦4,5⟧, km. ⟦1.350⟧.',
  '225 g/ps sfc||cruise', '165 L/h fcon||cruise', '7..9 g/ps soc||cruise', '4.5 h end||cruise', '1350 km range||cruise')
i('Gioco valvole a freddo: aspirazione mm ⟦0,30⟧, scarico mm ⟦0,40⟧; elettrodi mm ⟦0,5⟧. Anticipo ⟦35°⟧.',
  '0.30 mm vc||inlet', '0.40 mm vc||exhaust', '0.5 mm pg', '35 deg ign')
i('Peso a vuoto kg. ⟦1.780⟧; pieno carico kg. ⟦2.435⟧; per l\'atterraggio non oltre kg. ⟦2.210,500⟧.',
  '1780 kg wt||empty', '2435 kg wt||full load', '2210.500 kg wt|x|landing')
i('Serbatoio principale lt. ⟦2l5⟧, riserva lt. ⟦4S⟧; pressione benzina Kg/cmq ⟦O,25⟧; olio non meno di Kg/cmq ⟦3,S⟧.',
  '215 L fc||main tank|D', '45 L fc||reserve|D', '0.25 kcm fp|||D', '3.5 kcm op|m||D')
i('Acqua in uscita ⟦80° ÷ 95°⟧, massima ⟦1050 C⟧; prima del decollo non meno di ⟦600 C⟧.',
  '80..95 C cot||normal', '105 C cot|x||D', '60 C cot|m|take-off|D')
i('Sale a ⟦4000 m⟧ in ⟦5\' 30"⟧; velocità ascensionale al suolo ⟦13 m/sec⟧; quota di tangenza pratica ⟦9.100 m⟧.',
  '4000 m alt||climb', '5.5 min dur||climb|K r0.0167', '13 ms roc||ground level', '9100 m alt||service ceiling')
i('Regolatore dell\'elica: da ⟦1.700 a 2.400 giri⟧; passo minimo ⟦20°⟧, passo massimo ⟦45°⟧. Fuori giri tollerato ⟦2.650⟧ per non più di ⟦10"⟧.',
  '1700..2400 rpm es||governed range', '20 deg pitch||fine pitch', '45 deg pitch||coarse pitch', '2650 rpm es|x|overspeed|t10', '10 s tl||overspeed')
i('Velocità da non oltrepassare (km/h)\n' + tab('''
Carrello abbassato|⟦240⟧
Ipersostentatori a ⟦15°⟧|⟦210⟧
Ipersostentatori tutti fuori|⟦170⟧
Affondata|⟦650⟧'''),
  '240 kmh as|x|undercarriage down', '15 deg fa', '210 kmh as|x|flaps 15 deg', '170 kmh as|x|flaps full', '650 kmh as|x|dive')
i('Pressione olio normale ⟦5,? Kg/cmq⟧ (macchia), minima ⟦3 Kg/cmq⟧; giri max. ⟦2.?50⟧',
  'void kcm op||normal|D r0.1', '3 kcm op|m', 'void rpm es|x||D')
i('Contagiri graduato in centinaia: minimo ⟦5⟧, crociera da ⟦18 a 20⟧, linea rossa ⟦24⟧.',
  '500 rpm es||idling|r100', '1800..2000 rpm es||cruise|r100', '2400 rpm es|x|red line|r100')
i('Impianto idraulico: la pompa va a vuoto a ⟦70 Kg/cmq⟧ e riattacca a ⟦50 Kg/cmq⟧; valvola di sicurezza ⟦85 +0 -3 Kg/cmq⟧. Freni ⟦18 ÷ 22 Kg/cmq⟧.',
  '70 kcm hyp||cut-out', '50 kcm hyp||cut-in', '85[82..85] kcm hyp||relief valve', '18..22 kcm bp')
i('Depressione per i giroscopi ⟦95 ÷ 115 mm Hg⟧, mai sotto ⟦80⟧. Tensione ⟦24 V⟧, corrente di carica fino a ⟦35 Amp.⟧',
  '95..115 mmhg suc||normal', '80 mmhg suc|m', '24 V volt', '35 A cur|x|charging')
i('From a captured Italian leaflet: climb, ⟦2200 giri⟧ and ⟦880 mm.⟧ boost for ⟦30 min.⟧; oil ⟦5÷7 Kg/cmq⟧; petrol, ⟦165 litri⟧ in each wing tank; cylinder heads not above ⟦240°⟧.',
  row('climb', 1800, '2200 rpm es', '880 mmhg mp', '30 min tl'), '5..7 kcm op', '165 L fc||wing tank', '240 C cht|x')
i('Salita⟦2.2OOgiri⟧⟦83O mm Hg⟧ crociera ⟦1.9 00 giri⟧ ⟦7 40 mm Hg⟧',
  '2200 rpm es|x|climb|D', '830 mmhg mp|x|climb|D', '1900 rpm es|x|cruise|D', '740 mmhg mp|x|cruise|D')
i('Teste: ⟦180 ÷ 220 gradi⟧ in crociera, ⟦250⟧ al decollo per ⟦3\'⟧; prima di spegnere lasciar scendere sotto ⟦150⟧.',
  '180..220 C cht||cruise', '250 C cht|x|take-off|t180', '3 min tl||take-off', '150 C cht|x|shutdown')

# ---------------------------------------------------------------- Japanese
def j(*a): add('japanese', *a)


j('霧峰二一型 発動機運転諸元(制限)\n' + tab('''
状態|回転数|吸入圧力|筒温|油温|時間
|毎分|粍|度|度|
離昇|⟦2,600⟧|⟦+250⟧|⟦230⟧|⟦80⟧|⟦1分⟧
公称一速|⟦2,500⟧|⟦+150⟧|⟦220⟧|⟦同上⟧|⟦30分⟧
公称二速|⟦同上⟧|⟦同上⟧|⟦同上⟧|⟦75⟧|⟦30分⟧
巡航|⟦2,000⟧|⟦-80⟧|⟦200⟧|⟦70⟧|制限なし''', 3),
  row('take-off', 60, '2600 rpm es', '250 mmhg bo', '230 C cht', '80 C ot', '1 min tl'),
  row('nominal, low blower', 1800, '2500 rpm es', '150 mmhg bo', '220 C cht', '80 C ot|||K', '30 min tl'),
  row('nominal, high blower', 1800, '2500 rpm es|||K', '150 mmhg bo|||K', '220 C cht|||K', '75 C ot', '30 min tl'),
  row('cruise', None, '2000 rpm es', '-80 mmhg bo', '200 C cht', '70 C ot'))
j('上昇ハ⟦２４００回転⟧、ブースト⟦＋１２５粍⟧トシ、筒温⟦２２０度⟧ヲ超エザルコト。',
  '2400 rpm es||climb', '125 mmhg bo||climb', '220 C cht|x|climb')
j('離陸前、油温⟦三五度⟧以上、筒温⟦一二〇度⟧以上タルコトヲ確ム。飛行中油温ハ⟦八五度⟧以下トス。',
  '35 C ot|m|take-off', '120 C cht|m|take-off', '85 C ot|x|flight')
j('KIRIMINE 21 radial, data plate in translation: take-off ⟦+250 mm.⟧ (⟦39.8 in. Hg⟧) at ⟦2,600 r.p.m.⟧, limit ⟦1 min.⟧; nominal ⟦+150 mm.⟧ (⟦35.8 in. Hg⟧) at ⟦2,500 r.p.m.⟧, limit ⟦30 min.⟧',
  row('take-off', 60, '250 mmhg bo', '39.8 inhg mp', '2600 rpm es', '1 min tl'),
  row('nominal', 1800, '150 mmhg bo', '35.8 inhg mp', '2500 rpm es', '30 min tl'))
j('燃料タンク容量 胴体⟦二八〇立⟧、翼内各⟦二一〇立⟧、落下タンク⟦三二〇立⟧。滑油タンク⟦五二立⟧。',
  '280 L fc||fuselage tank', '210 L fc||wing tank', '320 L fc||drop tank', '52 L oc')
j('昭和十七年十一月三日改訂、第二編第四章、附図第九、整理番号航二一七号、自一二頁至三六頁。')
j('製造番号第三〇五号乃至第三一八号、気筒数一四、点火栓二八箇、部品番号Ｋ－２２０４、燃料九一オクタン。午前九時三〇分完了。')
j('脚下ゲハ⟦一四〇節⟧以下、フラップ下ゲハ⟦一二〇節⟧以下、急降下制限速度⟦三四〇節⟧。',
  '140 kn as|x|undercarriage down', '120 kn as|x|flaps down', '340 kn as|x|dive')
j('ブースト計は十倍目盛(×10)なり。離昇 ⟦+25⟧、公称 ⟦+15⟧、巡航 ⟦-8⟧ を指示せしむ。',
  '250 mmhg bo||take-off|r10', '150 mmhg bo||nominal|r10', '-80 mmhg bo||cruise|r10')
j('回転計(×100)の指示：アイドル ⟦６⟧、暖機 ⟦１０〜１２⟧、最大 ⟦２６⟧。',
  '600 rpm es||idling|r100', '1000..1200 rpm es||warm-up|r100', '2600 rpm es|x||r100')
j('赤ブースト使用ハ⟦五分⟧以内、回転⟦二、七〇〇⟧、ブースト⟦＋三〇〇粍⟧ヲ限度トス。水メタノール容量⟦一一〇立⟧。',
  '5 min tl||emergency', '2700 rpm es|x|emergency|t300', '300 mmhg bo|x|emergency|t300', '110 L wic')
j('点火試験は ⟦2,000回転⟧ にて行ひ、片側断の降下 ⟦50回転⟧ 以内なること。', '2000 rpm es||magneto check', '50 rpm mag|x|magneto check')
j('油圧ハ標準⟦五瓩／平方糎⟧、最低⟦三・五瓩／平方糎⟧、緩速ニテ⟦一・五瓩／平方糎⟧ヲ下ラザルコト。',
  '5 kcm op||normal', '3.5 kcm op|m', '1.5 kcm op|m|idling')
j('離昇 2,55O回転\u3000ブースト 十200粍\n公称 2,4OO回転\u3000ブースト 十l00粍\n巡航 2,OOO回転\u3000ブースト ー50粍'
  .replace('2,55O回転', '⟦2,55O回転⟧').replace('2,4OO回転', '⟦2,4OO回転⟧').replace('2,OOO回転', '⟦2,OOO回転⟧')
  .replace('十200粍', '⟦十200粍⟧').replace('十l00粍', '⟦十l00粍⟧').replace('ー50粍', '⟦ー50粍⟧'),
  row('take-off', None, '2550 rpm es|||D', '200 mmhg bo|||D'), row('nominal', None, '2400 rpm es|||D', '100 mmhg bo|||D'),
  row('cruise', None, '2000 rpm es|||D', '-50 mmhg bo|||D'))
j('公称馬力⟦九八〇馬力⟧(高度⟦二、八〇〇米⟧)、離昇馬力⟦一、一三〇馬力⟧、減速比⟦〇・六八七⟧、圧縮比⟦六・七⟧。',
  '980 ps pw||nominal', '2800 m alt||nominal', '1130 ps pw||take-off', '0.687 1 gr', '6.7 1 cr')
j('自重⟦一、七四五瓩⟧、全備重量⟦二、六五〇瓩⟧。着陸ハ⟦二、四〇〇瓩⟧以下ニテ行フ。',
  '1745 kg wt||empty', '2650 kg wt||loaded', '2400 kg wt|x|landing')
j('巡航時燃料消費率 ⟦二二〇瓦/馬力時⟧、毎時約 ⟦一一五立⟧。滑油 ⟦四乃至六瓦/馬力時⟧。',
  '220 g/ps sfc||cruise', '115 L/h fcon|a|cruise', '4..6 g/ps soc')
j('タイヤ空気圧 主車輪 ⟦三・五瓩/平方糎⟧、尾輪 ⟦二・八〃⟧。緩衝脚 ⟦二八気圧⟧、空気瓶 ⟦一五〇気圧⟧。',
  '3.5 kcm tyre||main wheels', '2.8 kcm tyre||tail wheel', '28 atm strut||main legs', '150 atm pneu||full bottle')
j('筒温は巡航にて ⟦一六〇乃至二〇〇度⟧、停止前 ⟦一五〇度⟧ 以下に冷却し、⟦八〇〇回転⟧ にて ⟦二分間⟧ 運転す。',
  '160..200 C cht||cruise', '150 C cht|x|cooling before stop', '800 rpm es||cooling before stop', '2 min dur||cooling before stop')
j('高度⟦五〇〇〇米⟧迄ノ上昇時間⟦六分三〇秒⟧、上昇速度⟦一一五節⟧、実用上昇限度⟦一〇、二〇〇米⟧。',
  '5000 m alt||climb', '6.5 min dur||climb|K r0.0167', '115 kn as||climb', '10200 m alt||service ceiling')
j('Handbook on the SHIRAMINE trainer (rendered into English). Climb at ⟦75 knots⟧, ⟦4.5 m/s⟧. Glide ⟦70 knots⟧. Stall, about ⟦48⟧. Gross weight ⟦2,315 lb⟧ (⟦1,050 kg⟧). Take-off run ⟦180 m⟧.',
  '75 kn as||climb', '4.5 ms roc||climb', '70 kn as||glide', '48 kn stall|a', '2315 lb wt||loaded', '1050 kg wt||loaded', '180 m dist||take-off run')
j('弁間隙 吸気⟦〇・三〇粍⟧、排気⟦〇・四〇粍⟧、点火栓間隙⟦〇・三五〜〇・四〇粍⟧、断続器⟦〇・三粍⟧。',
  '0.30 mm vc||inlet', '0.40 mm vc||exhaust', '0.35..0.40 mm pg', '0.3 mm cbg')
j('油圧 ⟦□瓩/平方糎⟧(汚損)、燃圧 ⟦〇・二五瓩/平方糎⟧、回転 ⟦二?〇〇⟧、油温最高 ⟦八五度⟧。',
  'void kcm op|||D', '0.25 kcm fp', 'void rpm es|||D', '85 C ot|x')
j('過速ハ⟦２８ＯＯ回転⟧、⟦３Ｏ秒⟧以内。燃圧⟦Ｏ．２５～Ｏ．３５瓩／糎２⟧。',
  '2800 rpm es|x|overspeed|t30 D', '30 s tl||overspeed|D', '0.25..0.35 kcm fp||normal|D')
j('''Report on crashed Japanese bomber, cockpit placards translated:
Start\u2003red ⟦+25⟧ (x10 mm.)\u2003⟦26⟧ (x100 r.p.m.)
Climb\u2003⟦+15⟧\u2003⟦25⟧
Oil temp. below ⟦85°C⟧; cylinder temp. below ⟦230°C⟧
Oil pressure ⟦4-6 kg. per sq. cm.⟧''',
  '250 mmhg bo|x|take-off|r10', '2600 rpm es|x|take-off|r100', '150 mmhg bo|x|climb|r10', '2500 rpm es|x|climb|r100', '85 C ot|x', '230 C cht|x', '4..6 kcm op')
j('作動油圧ハ⟦七〇気圧⟧、安全弁⟦九〇気圧⟧ニテ開ク。手動ポンプニテハ⟦四〇気圧⟧以上トスルコト。',
  '70 atm hyp||normal', '90 atm hyp||relief valve', '40 atm hyp|m')
j('始動、起動機ハ⟦一〇秒⟧以内、次ノ起動迄⟦一分⟧以上休止ス。始動後⟦毎分八〇〇回転⟧ニテ暖機シ油温⟦三〇度⟧以上ニ至ラシム。',
  '10 s sot|x', '1 min srt|m|between starts', '800 rpm es||warm-up', '30 C ot|m|warm-up')
j('プロペラ変節角 ⟦二五度乃至四五度⟧。巡航速度 ⟦時速２８０粁⟧、航続時間 ⟦五時間⟧、航続距離 ⟦１，４００粁⟧。真空 ⟦一〇〇～一三〇粍⟧。',
  '25..45 deg pitch', '280 kmh as||cruise', '5 h end', '1400 km range', '100..130 mmhg suc')


def main():
    names = set(UNITS[u][0] for u in UNITS), set(PARAMS.values()), set(BOUNDS.values())
    for it in ITEMS:
        last = 0
        for fg in it['figures']:
            a, b = fg['span']
            assert it['text'][a:b] == fg['as_written'] and fg['as_written'] == fg['as_written'].strip() and a >= last, (it['id'], fg)
            last = b
            assert fg['unit'] in names[0] and fg['parameter'] in names[1] and fg['bound'] in names[2], fg
            assert (fg['kind'] == 'pressure') == (fg['reference'] != 'none') or fg['parameter'].endswith('change'), fg
            assert (fg['bound'] == 'range') == (fg['lo'] is not None), (it['id'], fg)
    assert len({it['text'] for it in ITEMS}) == len(ITEMS)
    if len(sys.argv) > 1:
        with open(sys.argv[1], encoding='utf-8') as fh: v = json.load(fh)
        for it in ITEMS:
            for fg in it['figures']:
                assert fg['unit'] in v['units'] and fg['kind'] in v['kinds'] and fg['bound'] in v['bounds'], (it['id'], fg)
                assert fg['parameter'] in v['parameters'] and fg['reference'] in v['reference_forms'], (it['id'], fg)
                assert fg['condition'] is None or fg['condition'] in v['conditions'] or fg['condition'] in EXTRA_CONDITIONS, (it['id'], fg)
    path = os.path.join(os.path.dirname(os.path.abspath(__file__)), 'second-continental.jsonl')
    with open(path, 'w', encoding='utf-8') as fh:
        for it in ITEMS: fh.write(json.dumps(it, ensure_ascii=False) + '\n')
    print(len(ITEMS), 'items,', sum(len(it['figures']) for it in ITEMS), 'figures')


if __name__ == '__main__':
    main()
