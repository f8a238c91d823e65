/**
 * Names of fields in words. They are written so that they can be read out of their own
 * spelling (`promisedOn`, `massKg`); units that end a name are put as they are printed,
 * and where the spelling is no word of the trade, the word stands here.
 */
const WORDS: Readonly<Record<string, string>> = {
  promisedOn: 'promised day',
  openedOn: 'opened on',
  prosthetistId: 'prosthetist',
  patientId: 'patient',
  resinProductId: 'resin product',
  fabricId: 'fabric',
  partId: 'part',
  why: 'reason',
  holdReason: 'on hold because',
  familyName: 'family name',
  givenName: 'given name',
  birthDate: 'date of birth',
  liner: 'liner',
  priceMinor: 'price (minor units)',
  labourRatePerHourMinor: 'labour rate (minor units an hour)',
  moveId: 'record of the move',
  notTheSameAs: 'not the same as',
  udi: 'UDI',
  udiIssuer: 'UDI issued by',
  udiDeviceIdentifier: 'UDI device identifier',
  contentSha256: 'hash of what was signed (SHA-256)',
  email: 'e-mail address',
  plyMeans: 'ply means',
  perPly: 'for each ply',
  secondFactorFor: 'second factor asked of',
  pinHours: 'PIN is good for (hours)',
  benchLockMinutes: 'bench locks after (minutes)',
  of: 'record',
  requestId: 'answers the request',
  fields: 'what was opened',
  words: 'what was said',
  inOrder: 'found in order',
  said: 'said to be wrong',
  disagreement: 'statement of disagreement',
  liftReason: 'why it was lifted',
  handedTo: 'handed to',
  failures: 'failures in a row',
  how: 'how',
  rootSha256: 'root of the tree (SHA-256)',
  headSha256: 'hash of the head (SHA-256)',
  chainSha256: 'value of the chain (SHA-256)',
  treeSize: 'records covered',
  keyId: 'key',
  previousKeyId: 'key before',
};

/** Units that end a name, as they are printed. */
export const FIELD_UNITS: readonly (readonly [ending: RegExp, printed: string])[] = [
  [/Kg$/, 'kg'],
  [/Nm$/, 'N·m'],
  [/Mm$/, 'mm'],
  [/Ml$/, 'mL'],
  [/Deg$/, '°'],
  [/Gm2$/, 'g/m²'],
  [/Gcm3$/, 'g/cm³'],
  [/Percent$/, '%'],
  [/G$/, 'g'],
  [/C$/, '°C'],
];

/** A field's name in words: `ratedBodyMassKg` is "rated body mass (kg)". */
export function fieldWords(field: string): string {
  const known = WORDS[field];
  if (known !== undefined) return known;
  for (const [ending, printed] of FIELD_UNITS) {
    if (ending.test(field)) return `${apart(field.replace(ending, ''))} (${printed})`;
  }
  return apart(field.replace(/(?<=[a-z])Id$/, ''));
}

const apart = (name: string): string =>
  name
    .replaceAll('_', ' ')
    .replaceAll(/(?<=[a-z0-9])(?=[A-Z])/g, ' ')
    .toLowerCase();
