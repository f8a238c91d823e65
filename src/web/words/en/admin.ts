/** The set-up, in English: people and the clinic's settings; the catalogue and the work beside it. */
import { catalogue } from './admin/catalogue.ts';
import { clinic } from './admin/clinic.ts';
import { layupRules, routes, calendar } from './admin/work.ts';
import { shop } from './admin/shop.ts';

export const admin = {
  setupSays:
    'What the clinic works by. Nothing here is written over: a change is kept with who made it and when, and what was done before stays as it was done.',
  groups: {
    who: 'The clinic and its people',
    what: 'What goes into a limb',
    shop: 'The shop',
    how: 'How the work goes',
  },
  entries: {
    people: { title: 'People and roles', says: 'Who signs in, and what each of them may do.' },
    clinic: {
      title: 'Settings of the clinic',
      says: 'Name, zone and paper; tolerances, limits and margins; money; how long records are kept.',
    },
    organisation: {
      title: 'Sign-in by the organisation',
      says: 'The provider by which people may sign in with the account of their organisation.',
    },
    parts: {
      title: 'Parts',
      says: 'Locks, plates, pyramids, pins, screws: what each bears, and the torque setting with the document it comes from.',
    },
    drafts: {
      title: 'Scanned labels without a part',
      says: 'Devices that the bench scanned and the catalogue does not know.',
    },
    fabrics: {
      title: 'Fabrics',
      says: 'Stockinette, braid, carbon and glass, as their sheets have them.',
    },
    resins: {
      title: 'Resin products',
      says: 'Ratio, pot life, cup limit and cure, as the maker’s sheet has them.',
    },
    batches: {
      title: 'Batches',
      says: 'Lots of resin, fabric, threadlocker and the like: what is left, and what they cost.',
    },
    tools: {
      title: 'Shop tools',
      says: 'Dummies, tooling plates, torque tools and their calibrations.',
    },
    bins: { title: 'Bins', says: 'Where hardware and tools lie.' },
    benches: { title: 'Benches', says: 'Where work is done, and how many people work there.' },
    calendar: {
      title: 'Working calendar',
      says: 'Opening hours and closed days: promised dates are counted in them.',
    },
    labels: {
      title: 'Labels',
      says: 'How large the labels of sockets, models and bins are.',
    },
    routes: {
      title: 'Routes of work',
      says: 'The operations of each kind of socket, with their checks, limits and cautions.',
    },
    'layup-rules': { title: 'Layup rules', says: 'Which layers are proposed for whom.' },
  },
  draftsWait: (count: number) =>
    count === 1
      ? 'One label waits for an administrator.'
      : `${count} labels wait for an administrator.`,
  more: 'Show more',
  none: 'None is in the book yet.',
  save: 'Save the changes',
  putBack: 'Put back what the book has',
  saved: (fields: string) => `Saved: ${fields}.`,
  nothingTouched: 'Nothing was changed: all of it stands in the book like this.',
  standing: 'In the catalogue',
  inUse: 'in use',
  withdrawn: 'withdrawn',
  withdraw: 'Withdraw it',
  withdrawHelp:
    'Withdrawn, it is offered for no new work. What was made with it, and every record that names it, stays. It can be taken back into use.',
  takeBack: 'Take it back into use',
  takeBackHelp: 'It can be chosen again from now on.',
  wasWithdrawn: (name: string) => `${name} is withdrawn.`,
  wasTakenBack: (name: string) => `${name} is in use again.`,
  usually: (usual: string) => `Usual: ${usual}.`,
  // Two at once
  raced: 'Somebody else changed this while you were typing.',
  wrote: (field: string, was: string, is: string) => `${field}: it was ${was}, and is ${is} now.`,
  racedWayOut:
    'What you typed still stands in its fields, and beside them what the book has now. Leave your value and save again, or type the other’s.',
  inTheBook: (value: string) => `In the book by now: ${value}. Yours is not saved yet.`,
  // Versions
  versionNow: (version: number) => `Its entry is at version ${version}.`,
  versions: 'Versions',
  versionsHelp:
    'A version is never edited: a change is the next version. The ones before are kept, and whatever was begun by one of them keeps it.',
  versionBy: (version: number, who: string) => `Version ${version}, ${who}`,
  atFounding: 'starting values of a new clinic',
  inForce: 'in force',
  nothingDiffers: 'Nothing.',
  weekdays: ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday'],
  batchKinds: {
    resin: 'resin',
    hardener: 'hardener',
    pigment: 'pigment',
    fabric: 'fabric',
    threadlocker: 'threadlocker',
    parting_agent: 'parting agent',
    thermoplastic_sheet: 'thermoplastic sheet',
    casting_material: 'casting material',
  },
  people: {
    printedName: 'Printed name',
    printedNameHelp:
      'As it stands under signatures and on travellers (21 CFR 11.50). Signatures given before keep the name they were given under.',
    email: 'E-mail address',
    emailHelp:
      'What the person signs in with. One address signs in one person, and it stays as it is.',
    roles: 'Roles',
    rolesHelp:
      'Front desk: patients, orders, dates. Technician: the work at the bench. Prosthetist: casts, fittings, layups, release; signs. Auditor: reads and traces, changes nothing. Administrator: this set-up. Somebody may have several; each sees what their roles need, and no more.',
    works: 'Works here',
    active: 'yes',
    left: 'no longer',
    noRole: 'none: can sign in, and do nothing',
    activeTick: 'Works here and may sign in',
    activeHelp:
      'Take the tick out when somebody leaves: they are signed out everywhere at once. What they did and signed stays under their name.',
    takeOn: 'Take somebody on',
    takeOnHelp:
      'You are given a one-time code to hand over, with which they set a password that nobody else knows; before that nobody signs in as them. Nobody is ever deleted: who leaves is set so on their own page.',
    takenOn: (name: string, roles: string) => `${name} is in the book. Roles: ${roles}.`,
    yourself:
      'This is you. Your own role as administrator, and your own access, another administrator takes away.',
    signIn: 'Signing in',
    hasPassword: 'has a password',
    hasCode: (until: string) => `has no password yet; the one-time code works until ${until}`,
    hasNeither: 'has no password and no open code: cannot sign in',
    giveCode: 'Give a one-time code',
    giveCodeHelp:
      'For somebody who has forgotten their password, is locked after wrong ones, or whose password somebody else may know. The present password and every sign-in of theirs end at once. It is on record that you did it; the code is not.',
    giveCodeSays: 'The present password stops working at once, and they are signed out everywhere.',
    code: {
      title: (name: string) => `One-time code for ${name}`,
      once: 'It is shown this once and kept nowhere. Hand it over in person or read it out; do not leave it lying.',
      gone: 'The code was shown already, before the answer was lost. Give another one on the page of the person.',
      until: (when: string) => `It works once, until ${when}, and not after ten wrong tries.`,
      how: 'Open the sign-in page, choose “I have a code”, and type the address, the code and a new password.',
      copy: 'Copy',
      copied: 'Copied.',
      notCopied: 'It could not be copied: write it down.',
      print: 'Print',
      done: 'It is handed over',
    },
    signedIn: 'Where signed in',
    endAll: 'Sign out everywhere',
    allEnded: (name: string) => `${name} is signed out everywhere.`,
  },
  clinic,
  ...catalogue,
  ...shop,
  routes,
  rules: layupRules,
  calendar,
};
