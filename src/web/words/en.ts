/** Every text of the client, in English: what all pages share is here, each folder's own beside it. The other languages have the same shape. */
import { audit } from './en/audit.ts';
import { bench } from './en/bench.ts';
import { desk } from './en/desk.ts';
import { fitting } from './en/fitting.ts';
import { work } from './en/work.ts';

export const en = {
  language: 'English',
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
  },
  signIn: {
    title: 'Sign in',
    ended: 'Your sign-in has ended. Sign in again; what you typed is still there.',
    email: 'E-mail address',
    password: 'Password',
    act: 'Sign in',
    out: 'Sign out',
  },
  pages: {
    orders: 'Orders',
    open: 'Open an order',
    bench: 'Bench',
    watch: 'Late and at risk',
    trace: 'Trace',
    recall: 'Recall',
    work: 'Long work',
  },
  orders: {
    find: 'Order number or chart number',
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
  bench,
  signing: {
    title: 'What you sign',
    password: 'Your password, for this signature',
    hint: 'Typed for this act only. Wrong ones count as failed sign-ins.',
  },
  fitting,
  audit,
  work,
};
export type Words = typeof en;
