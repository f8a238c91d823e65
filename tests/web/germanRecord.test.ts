/** The history in German: every kind of event, what it is about, and the fields that change. */
import { describe, expect, test } from 'vitest';
import { EVENT_WORDS, SUBJECT_WORDS } from '../../src/domain/eventKinds.ts';
import { fieldWords } from '../../src/domain/fieldWords.ts';
import { BatchChange } from '../../src/features/batches/schemas.ts';
import { BenchChange } from '../../src/features/benches/schemas.ts';
import { PartChange } from '../../src/features/catalogue/schemas.ts';
import { ClinicChange } from '../../src/features/clinic/schemas.ts';
import { FabricChange } from '../../src/features/fabrics/schemas.ts';
import { ItemChange } from '../../src/features/hardware/schemas.ts';
import { OrderChange } from '../../src/features/orders/schemas.ts';
import { PatientChange } from '../../src/features/patients/schemas.ts';
import { ChangePerson } from '../../src/features/people/schemas.ts';
import { ResinProductChange } from '../../src/features/resinProducts/schemas.ts';
import { saysNothing, valueWords } from '../../src/web/audit/historyValues.ts';
import { de } from '../../src/web/words/de.ts';
import { turnTo } from '../../src/web/words/words.ts';

const ENGLISH = /\b(the|is|of|and|not|with|for|or|its|put|entered|changed|date|name of)\b/i;

describe('the history in German', () => {
  test.each(Object.entries(EVENT_WORDS))('%s', (kind, english) => {
    const german = de.audit.eventKinds[kind as keyof typeof EVENT_WORDS];
    expect(german).not.toBe(english);
    expect(german).not.toMatch(ENGLISH);
  });

  test.each(Object.entries(SUBJECT_WORDS))('about %s', (kind, english) => {
    const german = de.audit.subjectKinds[kind as keyof typeof SUBJECT_WORDS];
    if (kind !== 'person') expect(german).not.toBe(english);
    expect(german).not.toMatch(ENGLISH);
  });

  const fields = [
    BatchChange,
    BenchChange,
    PartChange,
    ClinicChange,
    FabricChange,
    ItemChange,
    OrderChange,
    PatientChange,
    ChangePerson,
    ResinProductChange,
  ].flatMap(({ shape }) => Object.keys(shape));
  // The trade writes them alike.
  const ALIKE = ['name', 'udi', 'liner', 'material'];
  // Asked for a change of a person, and kept nowhere.
  const NEVER_KEPT = ['currentPassword'];

  test('has fields to ask for', () => {
    expect(new Set(fields).size).toBeGreaterThan(60);
  });

  test.each([...new Set(fields)].filter((field) => ![...ALIKE, ...NEVER_KEPT].includes(field)))(
    'the field %s',
    (field) => {
      expect(de.audit.field(field).toLowerCase()).not.toBe(fieldWords(field).toLowerCase());
    },
  );

  test.each([
    ['ratedBodyMassKg', 'zulässiges Körpergewicht (kg)'],
    ['differenceMl', 'Unterschied (ml)'],
    ['prosthetistId', 'OT-Meister/in'],
    ['torqueMaxNm', 'Drehmoment höchstens (N·m)'],
    // What nobody has put into German stays readable.
    ['somethingNewKg', 'something new (kg)'],
  ])('%s is %s', (field, german) => {
    expect(de.audit.field(field)).toBe(german);
  });

  // One word means something else in another field; an id without a name says nothing.
  test.each([
    ['reason', 'label_unreadable', 'Etikett oder Laufzettel ist nicht zu lesen'],
    ['fields', ['givenName', 'phone'], 'Vorname, Telefon'],
    ['of', 'operation_record', 'Arbeitsgang'],
    ['what', ['phone', 'desk_notes'], 'Telefon, Notizen an den Empfang'],
    ['denialGround', 'not_made_here', 'er wurde nicht hier gemacht'],
    ['occasion', 'second_factor', 'zweiter Schritt'],
    ['how', 'openid', 'Konto der Organisation'],
    ['purpose', 'reset', 'neues Passwort'],
    ['purpose', 'check_fitting', 'Anprobe'],
    ['device', 'phone Android Firefox', 'Telefon, Android, Firefox'],
    ['device', 'other', 'Etwas anderes'],
    ['cause', 'daily', 'einmal am Tag'],
  ])('says of %s: %s as %s', async (field, value, german) => {
    await turnTo('de');
    expect(valueWords(value, { names: {}, instant: (at) => at }, field)).toBe(german);
    await turnTo('en');
  });

  test('an id that has a name is said by it, and one that has none is not told', () => {
    const id = '01a22eb2-827d-72c1-9055-f4ee14d89ff1';
    const saying = { names: { [id]: 'CH-0001' }, instant: (at: string) => at };
    expect(saysNothing(id, saying)).toBe(false);
    expect(saysNothing(id, { ...saying, names: {} })).toBe(true);
    expect(saysNothing('CH-0001', { ...saying, names: {} })).toBe(false);
    expect(valueWords(id, saying, 'patientId')).toBe('CH-0001');
  });

  test.each([
    [0.1 + 0.2, '0,3', '0.3'],
    [-1.25, '-1,25', '-1.25'],
    [12500, '12500', '12500'],
  ])('writes %d as %s', async (value, german, english) => {
    const saying = { names: {}, instant: (at: string) => at };
    await turnTo('de');
    expect(valueWords(value, saying)).toBe(german);
    await turnTo('en');
    expect(valueWords(value, saying)).toBe(english);
  });
});
