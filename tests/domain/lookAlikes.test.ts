import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Day } from '../../src/domain/days.ts';
import {
  dayAndMonthSwapped,
  initialsOf,
  likeness,
  nameKeyOf,
  plainName,
  type PatientTraits,
} from '../../src/domain/lookAlikes.ts';

const day = (text: string) => text as Day;

const anna: PatientTraits = {
  givenName: 'Anna-Lena',
  familyName: 'Brandstätter',
  birthDate: day('1962-03-11'),
  phone: '+43 1 555 0123',
};
const like = (given: Partial<PatientTraits>) => likeness(anna, { ...anna, phone: null, ...given });

describe('two patients look like one', () => {
  test.each<[string, Partial<PatientTraits>, ReturnType<typeof likeness>]>([
    [
      'written without accents and hyphen',
      { givenName: 'anna lena', familyName: 'BRANDSTATTER' },
      'same_birth_date_similar_name',
    ],
    ['two letters slipped', { familyName: 'Brandsteter' }, 'same_birth_date_similar_name'],
    [
      'names in each other’s field',
      { givenName: 'Brandstätter', familyName: 'Anna-Lena' },
      'same_birth_date_similar_name',
    ],
    [
      'day and month changed about',
      { birthDate: day('1962-11-03') },
      'same_name_day_and_month_swapped',
    ],
    [
      'names in each other’s field, day and month changed about',
      { givenName: 'Brandstätter', familyName: 'Anna-Lena', birthDate: day('1962-11-03') },
      'same_name_day_and_month_swapped',
    ],
    [
      'names in each other’s field, another birth date, the same phone',
      {
        givenName: 'Brandstätter',
        familyName: 'Anna-Lena',
        birthDate: day('1926-03-11'),
        phone: '01/5550123',
      },
      'same_name_and_phone',
    ],
    [
      'another birth date, the same phone',
      { birthDate: day('1926-03-11'), phone: '01/5550123' },
      'same_name_and_phone',
    ],
  ])('%s', (_title, given, because) => {
    expect(like(given)).toBe(because);
  });
});

describe('two patients do not look like one', () => {
  test.each<[string, Partial<PatientTraits>]>([
    ['another family name, the same birth date', { familyName: 'Hollergschwandtner' }],
    ['the same name, another birth date', { birthDate: day('1963-03-11') }],
    [
      'the same phone in one household',
      { givenName: 'Karl', birthDate: day('1960-01-01'), phone: anna.phone },
    ],
    ['the same name, neither with a phone', { birthDate: day('1963-03-11'), phone: null }],
    ['the same name, another phone', { birthDate: day('1963-03-11'), phone: '+43 1 555 0124' }],
    [
      'a name with two slips, day and month changed about',
      { familyName: 'Brandsteter', birthDate: day('1962-11-03') },
    ],
    [
      'a name with two slips, the same phone',
      { familyName: 'Brandsteter', birthDate: day('1963-03-11'), phone: anna.phone },
    ],
  ])('%s', (_title, given) => {
    expect(like(given)).toBeNull();
  });

  test('a phone that only one of them has is no sign, whichever it is', () => {
    const later = { ...anna, birthDate: day('1963-03-11') };
    expect(likeness({ ...anna, phone: null }, later)).toBeNull();
    expect(likeness(later, { ...anna, phone: null })).toBeNull();
    expect(likeness({ ...later, phone: null }, { ...anna, phone: null })).toBeNull();
  });

  test('the shorter of two names says how many slips are allowed', () => {
    const eva = { givenName: 'Eva', familyName: 'Lang', birthDate: day('1990-01-01'), phone: null };
    expect(likeness(eva, { ...eva, familyName: 'Lange' })).toBe('same_birth_date_similar_name');
    expect(likeness(eva, { ...eva, familyName: 'Lange', givenName: 'Evas' })).toBeNull();
  });

  test('short names that differ in one of two letters', () => {
    const li = { givenName: 'Bo', familyName: 'Li', birthDate: day('1990-01-01'), phone: null };
    expect(likeness(li, { ...li, familyName: 'Lo', givenName: 'Ba' })).toBeNull();
  });
});

const letters = fc
  .array(
    fc.constantFrom('a', 'b', 'd', 'e', 'h', 'i', 'k', 'l', 'm', 'n', 'o', 'r', 's', 't', 'u'),
    { minLength: 5, maxLength: 12 },
  )
  .map((each) => each.join(''));
const traits = fc.record({
  givenName: letters,
  familyName: letters,
  birthDate: fc
    .date({ min: new Date('1930-01-01'), max: new Date('2020-12-31'), noInvalidDate: true })
    .map((date) => day(date.toISOString().slice(0, 10))),
  phone: fc.option(fc.stringMatching(/^[0-9]{7,12}$/)),
});

describe('whatever the names are', () => {
  test('a likeness is the same whichever of the two is named first', () => {
    fc.assert(
      fc.property(traits, traits, (a, b) => {
        const twin = { ...b, birthDate: a.birthDate };
        expect(likeness(a, twin)).toBe(likeness(twin, a));
        expect(likeness(a, b)).toBe(likeness(b, a));
      }),
    );
  });

  test('everybody looks like himself, also with one letter typed wrong', () => {
    fc.assert(
      fc.property(traits, fc.nat(), fc.constantFrom('x', 'y', 'q'), (patient, at, wrong) => {
        const place = at % patient.familyName.length;
        const familyName =
          patient.familyName.slice(0, place) + wrong + patient.familyName.slice(place + 1);
        expect(likeness(patient, patient)).toBe('same_birth_date_similar_name');
        expect(likeness(patient, { ...patient, familyName })).toBe('same_birth_date_similar_name');
      }),
    );
  });

  test('a plain name stays as it is when made plain again', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme', maxLength: 40 }), (name) => {
        expect(plainName(plainName(name))).toBe(plainName(name));
      }),
    );
  });

  test('swapping day and month twice gives the day again', () => {
    fc.assert(
      fc.property(traits, ({ birthDate }) => {
        const swapped = dayAndMonthSwapped(birthDate);
        if (swapped !== undefined) expect(dayAndMonthSwapped(swapped)).toBe(birthDate);
        else
          expect(
            birthDate.slice(5, 7) === birthDate.slice(8) || Number(birthDate.slice(8)) > 12,
          ).toBe(true);
      }),
    );
  });
});

describe('names as they are compared and shown', () => {
  test.each([
    ['  Łukasz   O’Brien-Groß ', 'lukasz obrien gross'],
    ['SØREN Ðorđević', 'soren dordevic'],
    ['José Mª. Núñez', 'jose ma nunez'],
    ['王小明', '王小明'],
    ['Þóra Hæfœ Ħall Yıldız', 'thora haefoe hall yildiz'],
    ["`O'Neill´ ʼt Hooft", 'oneill t hooft'],
    ['Mary\u2011Ann — Lu', 'mary ann lu'],
  ])('%s is compared as %s', (name, plain) => {
    expect(plainName(name)).toBe(plain);
  });

  test('names parted differently are one name', () => {
    const apart = { ...anna, givenName: 'Lena', familyName: 'Anna Maria' };
    const other = { ...anna, givenName: 'Anna', familyName: 'Maria Lena' };
    const later = day('1926-03-11');
    expect(likeness(apart, { ...other, birthDate: later })).toBe('same_name_and_phone');
    expect(likeness({ ...other, birthDate: later }, apart)).toBe('same_name_and_phone');
  });

  test('a day that is the same with day and month changed about is none to compare', () => {
    expect(dayAndMonthSwapped(day('2026-03-03'))).toBeUndefined();
    expect(dayAndMonthSwapped(day('2026-03-13'))).toBeUndefined();
    expect(dayAndMonthSwapped(day('2026-03-12'))).toBe('2026-12-03');
  });

  test('family name first', () => {
    expect(nameKeyOf(anna)).toBe('brandstatter anna lena');
  });

  test('initials are capitals with dots', () => {
    expect(initialsOf({ givenName: 'élodie', familyName: 'zu Hohenfels' })).toBe('É.Z.');
    expect(initialsOf({ givenName: ' ', familyName: '  𠮷田' })).toBe('𠮷.');
  });
});
