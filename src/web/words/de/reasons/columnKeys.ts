import type { COLUMN_KEY_REASONS } from '../../../../domain/reasons/columnKeys.ts';
import type { ReasonWords } from '../../reasons.ts';

/** Refusals about values that are kept encrypted, in German. */
export const COLUMN_KEYS: ReasonWords<typeof COLUMN_KEY_REASONS> = {
  'column-key-missing': {
    title: 'Ein Schlüssel der Aufzeichnungen fehlt',
    words: (f) =>
      f.keyId === ''
        ? 'Dieser Dienst wurde ohne die Schlüssel gestartet, die Kontaktangaben für andere unlesbar halten.'
        : `Das Gefragte ist unter dem Schlüssel „${f.keyId}“ aufbewahrt, den dieser Dienst nicht hat. Nichts wurde geschrieben.`,
    wayOut: () =>
      'Sagen Sie es der Person, die den Dienst betreibt: Er ist mit diesem Schlüssel in seiner Liste neu zu starten.',
  },
  'column-value-broken': {
    title: 'Ein aufbewahrter Wert lässt sich nicht öffnen',
    words: () =>
      'Ein verschlüsselt aufbewahrter Wert wurde anders als durch diesen Dienst geändert oder von seinem Platz bewegt. Nichts wurde geschrieben.',
    wayOut: () =>
      'Sagen Sie es der Administration: Das Protokoll nennt die Stelle, und eine Sicherung von vorher hat den Wert.',
  },
};
