/** Every text of the client, in English: what all pages share is here, each folder's own beside it. The other languages have the same shape. */
import type { admin } from './en/admin.ts';
import { audit } from './en/audit.ts';
import { bench } from './en/bench.ts';
import { book } from './en/book.ts';
import { desk } from './en/desk.ts';
import { fitting } from './en/fitting.ts';
import { work } from './en/work.ts';
import { papers } from './en/papers.ts';
import { rights } from './en/rights.ts';
import { signing } from './en/signing.ts';
import { pictures } from './en/pictures.ts';
import { offline } from './en/offline.ts';
import { help } from './en/help.ts';
import { looks } from './en/looks.ts';
import { secondFactor } from './en/secondFactor.ts';
import { openid } from './en/openid.ts';

export const en = {
  language: 'English',
  /** How days, instants and figures are written (BCP 47). */
  locale: 'en-GB',
  service: {
    name: 'Castbook',
    caution: 'Castbook proposes and records; a person decides and signs.',
    loading: 'Reading the record …',
    unreachable: 'The service cannot be reached. Nothing was lost; try again.',
    retry: 'Try again',
    wayOut: 'What to do',
    missing: 'This is missing.',
    besideFields: 'Not done yet: what is wrong stands beside the fields.',
    notFound: 'There is no such page.',
    insecure: 'This address is not secure',
    insecureSays:
      'Castbook works over https only, or on the machine that it runs on: nothing of a patient goes through the clinic’s network in the clear. Ask whoever runs it for the https address.',
    help: (about: string) => `Help: ${about}`,
    noNumber: 'This is no number.',
    noAmount: (decimals: number) => `An amount has at most ${decimals} figures behind the point.`,
    yes: 'yes',
    no: 'no',
    nothing: '–',
    skip: 'To the content of the page',
    menu: 'Pages',
  },
  settings: {
    title: 'Language and units',
    link: 'Language, units',
    language: 'Language',
    units: 'Units',
    length: 'Lengths of a limb',
    lengths: { mm: 'millimetres (mm)', cm: 'centimetres (cm)', in: 'inches (in)' },
    lengthHint: 'Walls, widths and offsets are in millimetres, or in inches.',
    mass: 'Body mass',
    masses: { kg: 'kilograms (kg)', lb: 'pounds (lb)' },
    torque: 'Torque',
    torques: {
      'N.m': 'newton-metres (N·m)',
      'lbf.in': 'pound-force inches (lbf·in)',
      'lbf.ft': 'pound-force feet (lbf·ft)',
    },
    kept: 'For you, in this browser. On record are always millimetres, kilograms and newton-metres; resin is weighed in grams, and a torque tool shows its own unit.',
    notTranslated:
      'What the clinic itself has written (operations, checks, cautions, notes, names) stays in its own words.',
    languageFailed: 'The language cannot be fetched just now.',
  },
  head: { menu: 'Menu', close: 'Close', dark: 'Dark page', light: 'White page' },
  signIn: {
    title: 'Sign in',
    ended: 'Your sign-in has ended. Sign in again; what you typed is still there.',
    email: 'E-mail address',
    password: 'Password',
    act: 'Sign in',
    out: 'Sign out',
    ownPassword: 'Your password',
    ownPasswordSays:
      'Your signatures are given with it. Other devices on which you are signed in are signed out.',
    signedIn: 'Where you are signed in',
    sessions: {
      device: 'On',
      began: 'Since',
      lastUsed: 'Last used',
      lastUsedHelp:
        'The last use is right to ten minutes. What the device says of itself is not proved.',
      unknownHelp: 'If you do not know one of these, end it and change your password.',
      how: 'Signed in with',
      ways: {
        password: 'password',
        pin: 'PIN of a bench device',
        openid: 'the organisation’s account',
      },
      kinds: { phone: 'Phone', tablet: 'Tablet', computer: 'Computer', other: 'Something else' },
      thisOne: 'this one',
      end: 'Sign out there',
      endOf: (device: string, began: string) => `Sign out there: ${device}, since ${began}`,
      ended: 'That device is signed out.',
      endOthers: 'Sign out everywhere else',
      othersEnded: 'You are signed in here only.',
      none: 'Nowhere.',
    },
    haveCode: 'I have a code',
    haveNoCode: 'I have a password',
    codeTitle: 'Set a password',
    codeSays:
      'An administrator of your clinic gave you a one-time code. With it you set a password that nobody else knows.',
    code: 'One-time code',
    codeHint: 'Sixteen letters and figures; capitals and dashes do not matter.',
    setPassword: 'Set the password and sign in',
    roles: 'Roles',
    presentPassword: 'Present password',
    newPassword: 'New password',
    passwordRule:
      '15 to 200 characters: a sentence, or several words that have nothing to do with you or the clinic. Any characters will do; what is easily guessed is refused.',
    changePassword: 'Change it',
    passwordChanged: 'Your password is changed.',
  },
  pages: {
    orders: 'Orders',
    open: 'Open an order',
    bench: 'Bench',
    watch: 'Late and at risk',
    fittings: 'Fittings',
    trace: 'Trace',
    recall: 'Recall',
    setup: 'Set-up',
    record: 'Verify the record',
    openings: 'Opened for a reason',
    work: 'Long work',
    retention: 'What is kept',
  },
  orders: {
    lateOnly: 'late ones only',
    none: 'No order fits.',
    more: 'More orders',
    order: 'Order',
    patient: 'Patient',
    limb: 'Limb',
    promised: 'Promised',
    stage: 'Stage',
    noDay: 'no day',
    late: 'late',
    atRisk: 'at risk',
    atRiskOnly: 'at risk only',
    numbered: 'Orders numbered',
    onHold: 'on hold',
  },
  roles: {
    front_desk: 'front desk',
    technician: 'technician',
    prosthetist: 'prosthetist',
    auditor: 'auditor',
    administrator: 'administrator',
  },
  stages: {
    casting: 'casting',
    check_fitting: 'check fitting',
    lamination: 'lamination',
    delivery: 'delivery',
    delivered: 'delivered',
    cancelled: 'cancelled',
  },
  sides: { left: 'left', right: 'right' },
  levels: {
    trans_tibial: 'trans-tibial',
    trans_femoral: 'trans-femoral',
    ankle_disarticulation: 'ankle disarticulation',
    knee_disarticulation: 'knee disarticulation',
  },
  suspensions: {
    pin_lock: 'pin lock',
    suction: 'suction',
    vacuum: 'vacuum',
    lanyard: 'lanyard',
    sleeve: 'sleeve',
  },
  holds: {
    authorization_awaited: 'authorization awaited',
    parts_awaited: 'parts awaited',
    patient_not_ready: 'patient not ready',
    limb_volume_not_stable: 'limb volume not stable',
  },
  desk,
  book,
  bench,
  rights,
  signing,
  fitting,
  pictures,
  papers,
  audit,
  looks,
  work,
  /** Comes with the set-up's pages, which alone read it: a phone at the bench has less to fetch. */
  admin: {} as typeof admin,
  offline,
  openid,
  help,
  secondFactor,
};
export type Words = typeof en;
