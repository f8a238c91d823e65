/** The catalogue beside its parts, in German: pieces, scanned labels, fabrics, resin, batches. */
import type { Words } from '../../en.ts';
import { zahl } from '../zahl.ts';

type Admin = Words['admin'];

export const pieces: Admin['pieces'] = {
  title: 'Stücke und ihr Preis',
  help: 'Jedes Stück im Buch, wo es ist und was es gekostet hat. Aus diesen Preisen ergeben sich die Kosten eines Schafts.',
  none: 'Noch kein Stück davon ist eingegangen.',
  noCurrency:
    'Preise werden eingetragen, sobald die Werkstatt eine Währung hat: siehe die Einstellungen der Werkstatt.',
  noPrice: 'kein Preis',
  price: (piece, currency) => `Preis von ${piece}, ${currency}`,
  priceHelp:
    'Für dieses eine Stück, etwa 149,00. Leer: nicht bekannt; dann steht bei den Kosten eines Schafts, dass er fehlt.',
};

export const drafts: Admin['drafts'] = {
  says: 'Unter diesen Etiketten hat die Werkbank nichts angenommen: der Katalog kennt das Produkt nicht. Tragen Sie das Passteil nach der Unterlage des Herstellers ein, dann lässt sich das Etikett wieder einlesen; oder legen Sie es mit dem Grund beiseite.',
  every: 'auch erledigte',
  none: 'Kein Etikett wartet.',
  notWaiting: 'Dieses Etikett wartet nicht mehr.',
  lot: 'Los',
  serial: 'Seriennummer',
  expires: 'Verwendbar bis',
  own: 'Eigene Angabe des Herstellers',
  scanned: (who, when) => `Eingelesen von ${who}, ${when}.`,
  make: 'Passteil eintragen',
  setAside: 'Beiseitelegen',
  why: 'Warum kein Passteil daraus wird',
  setAsideNow: (device) => `${device} ist beiseitegelegt.`,
  wasSetAside: (who, when, why) => `Beiseitegelegt von ${who}, ${when}: ${why}`,
  wasMade: (who, when) => `Als Passteil eingetragen von ${who}, ${when}.`,
  itsPart: 'Das Passteil',
};

export const fabrics: Admin['fabrics'] = {
  enter: 'Gewebe eintragen',
  changeSays:
    'Früher entworfene Lagenaufbauten behalten das Datenblatt, mit dem sie gerechnet sind. Ein Entwurf, der auf die Unterschrift wartet, ist neu zu entwerfen.',
  forms: { flat: 'flach, von der Rolle', tube: 'Schlauch, übergezogen', strip: 'Band' },
  fields: {
    name: 'Name',
    material: 'Material',
    form: 'Form',
    arealDensityGm2: 'Flächengewicht, g/m²',
    widthMm: 'Breite, mm',
    fibreDensityGcm3: 'Faserdichte, g/cm³',
    stretchPercent: 'Dehnung des Umfangs, Prozent',
  },
  help: {
    name: 'Wie auf der Rolle, mit der Breite: Rollen desselben Materials unterscheiden sich darin.',
    material:
      'Das Wort der Werkstatt dafür: kleine Buchstaben, Ziffern und Unterstriche, etwa structural_braid. Die Armierungsregeln verlangen das Material; gewählt wird die Rolle, die um den Stumpf reicht.',
    form: 'Entscheidet, wie zugeschnitten wird. Bleibt, wie sie eingetragen ist.',
    arealDensityGm2: 'Des trockenen Gewebes, laut Datenblatt. 1 oz/yd² sind 33,9 g/m².',
    widthMm: 'Der Rolle. Bei einem Schlauch flach gelegt, also sein halber Umfang in Ruhe.',
    fibreDensityGcm3:
      'Der Faser selbst, nicht des Gewebes: Wandstärke und Faseranteil hängen davon ab.',
    stretchPercent:
      'Um wie viel der Umfang eines Schlauchs beim Überziehen wachsen darf. 0, wenn nichts nachgibt.',
  },
};

export const resins: Admin['resins'] = {
  enter: 'Harzsystem eintragen',
  changeSays: 'Frühere Ansätze behalten das Harzsystem, wie es damals eingetragen war.',
  sheet: 'Das Datenblatt des Herstellers',
  sheetHelp: 'Alles darunter wird dort gelesen. Eine andere Chemie ist ein anderes Harzsystem.',
  ratio: 'Harz zu Härter',
  ratioHelp:
    'Nach Gewicht, wie die Waage es zeigt, und nie nach Volumen. 100A:38B nach Gewicht ist 100 und 38.',
  clock: 'Zeit und Wärme',
  clockHelp:
    'Die Uhr an der Werkbank beginnt mit der Topfzeit und halbiert sie je 10 °C wärmer (Faustregel, übliche Praxis). Zu viel in einem Becher heizt sich selbst auf: über der größten Becherfüllung wird der Ansatz auf mehrere Güsse verteilt.',
  chemistries: { epoxy: 'Epoxid', acrylic: 'Acrylat', polyester: 'Polyester' },
  fields: {
    name: 'Name',
    chemistry: 'Chemie',
    document: 'Unterlage',
    revision: 'Ausgabe',
    densityGcm3: 'Dichte, ausgehärtet, g/cm³',
    partsResin: 'Gewichtsteile Harz',
    partsHardener: 'Gewichtsteile Härter',
    ratioTolerancePercent: 'Der Härter darf abweichen um, Prozent',
    potLifeMinutes: 'Topfzeit, min',
    potLifeMassG: 'bei so viel in einem Becher, g',
    potLifeTemperatureC: 'bei, °C',
    cupLimitG: 'Höchstens in einem Becher, g',
    cureHours: 'Härtet aus in, h',
    cureTemperatureC: 'Härtet aus bei, °C',
  },
  help: {
    chemistry: 'Wie es aushärtet. Bleibt, wie sie eingetragen ist.',
    document: 'Titel oder Nummer des Datenblatts, damit jeder es nachlesen kann.',
    densityGcm3: 'Zu erwartende Stärke und Gewicht des Laminats hängen davon ab.',
    partsResin: 'Die erste Zahl des Verhältnisses.',
    partsHardener: 'Die zweite Zahl: Gramm Härter auf so viele Gramm Harz.',
    ratioTolerancePercent:
      'Liegt die Einwaage außerhalb, wird das Laminieren mit einem Befund gestoppt.',
    potLifeMinutes: 'Laut Datenblatt, für Menge und Temperatur darunter.',
    potLifeMassG:
      'Die Menge, für die das Datenblatt die Topfzeit nennt, oft 100 g. Mehr im Becher wird früher fest.',
    potLifeTemperatureC: 'Die Temperatur, für die das Datenblatt sie nennt. 77 °F sind 25 °C.',
    cupLimitG:
      'Laut Datenblatt, oder nach dem, was Ihre Becher gezeigt haben. Darüber heizt sich Harz selbst auf und kann brennen.',
    cureHours: 'Bis das Laminat geschliffen werden darf.',
    cureTemperatureC: 'Im Ofen oder im Raum, wie das Datenblatt es sagt.',
  },
};

export const batches: Admin['batches'] = {
  says: 'Chargen werden an der Werkbank angenommen und geöffnet. Hier wird ihr Preis eingetragen: daraus ergeben sich die Kosten eines Schafts.',
  kind: 'Art',
  everyKind: 'jede Art',
  lot: (lot) => `Charge ${lot}`,
  left: (amount, unit) => `noch ${zahl(amount)} ${unit}`,
  quarantined: 'gesperrt',
  expired: 'abgelaufen',
  received: 'Eingegangen',
  opened: 'Geöffnet',
  expires: 'Verwendbar bis',
  of: 'Von',
  why: 'Warum gesperrt',
  cost: 'Was alles davon gekostet hat',
  price: (lot, currency) => `Preis der ganzen Charge ${lot}, ${currency}`,
  priceHelp:
    'Für die ganze Charge, wie sie kam, etwa 49,00. Leer: nicht bekannt; dann steht bei den Kosten eines Schafts, dass er fehlt.',
};
