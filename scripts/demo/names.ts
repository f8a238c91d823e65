/**
 * Names of nobody. Given names from many places, family names that are plainly made up;
 * telephone numbers from the range that is kept for fiction in Great Britain (from memory);
 * addresses in a town that is not there; e-mail addresses under .example (RFC 2606).
 */
export const CLINIC = {
  name: 'Kestrel Lane Limb Clinic (invented)',
  numberPrefix: 'KLN',
  timeZone: 'Europe/London',
  paper: 'A4',
} as const;

/** Printed at every start of the demo; of no use anywhere else. */
export const DEMO_PASSWORD = 'four quiet herons at dusk';

export const STAFF = {
  administrator: { printedName: 'Odile Ledgerwhistle', email: 'odile', role: 'administrator' },
  desk: { printedName: 'Fenno Brightkettle', email: 'fenno', role: 'front_desk' },
  technician: { printedName: 'Sefa Anvilfeather', email: 'sefa', role: 'technician' },
  secondTechnician: { printedName: 'Jun Sandwhistle', email: 'jun', role: 'technician' },
  thirdTechnician: { printedName: 'Bronagh Resinquill', email: 'bronagh', role: 'technician' },
  /** Left the clinic during the two years. */
  formerTechnician: { printedName: 'Ode Pastbench', email: 'ode', role: 'technician' },
  prosthetist: { printedName: 'Nadia Plumbline', email: 'nadia', role: 'prosthetist' },
  secondProsthetist: { printedName: 'Tomasz Gaitwell', email: 'tomasz', role: 'prosthetist' },
  auditor: { printedName: 'Imani Candlefax', email: 'imani', role: 'auditor' },
} as const;
export type StaffKey = keyof typeof STAFF;
export const STAFF_KEYS = Object.keys(STAFF) as StaffKey[];

/** Who is shown as a sign-in: one for each role, and the others who still work there. */
export const SIGN_INS = [
  'desk',
  'technician',
  'secondTechnician',
  'thirdTechnician',
  'prosthetist',
  'secondProsthetist',
  'auditor',
  'administrator',
] as const satisfies readonly StaffKey[];

export const emailOf = (key: StaffKey): string => `${STAFF[key].email}@kestrel-lane.example`;

export const GIVEN_NAMES = [
  'Amara', 'Bjorn', 'Chidi', 'Dolores', 'Emre', 'Farida', 'Goran', 'Hana', 'Ines', 'Jamal',
  'Kaveh', 'Leilani', 'Matteo', 'Nilufar', 'Oskar', 'Priya', 'Quynh', 'Rosa', 'Siobhan', 'Tariq',
  'Ulla', 'Vikram', 'Wanjiru', 'Xiomara', 'Yusuf', 'Zofia', 'Aroha', 'Bayani', 'Camille', 'Dimitra',
] as const; // prettier-ignore

/** One for each patient. */
export const FAMILY_NAMES = [
  'Acornby', 'Birchwhistle', 'Copperlark', 'Dewquill', 'Emberfax', 'Fernkettle', 'Gorsebarrow',
  'Hazelwick', 'Inkspindle', 'Juniperlow', 'Kelpfeather', 'Lanternby', 'Marrowfax', 'Nettleby',
  'Oatspindle', 'Peverspoon', 'Quillbarrow', 'Rookwhistle', 'Sorrelfax', 'Thimblewick',
  'Umberlark', 'Vetchkettle', 'Willowfax', 'Yarrowspoon', 'Zephyrby', 'Alderquill', 'Brambleton-Fax',
  'Cloverspindle', 'Dockfeather', 'Elderkettle', 'Foxglovely', 'Gillyspoon', 'Heathwhistle',
  'Ivybarrow', 'Jasperlark', 'Kingcupby', 'Larkspindle', 'Mossfeather', 'Nutkettle', 'Orrisby',
  'Pebblefax', 'Quincewhistle', 'Rushspoon', 'Sedgebarrow', 'Tansyquill', 'Upswallow', 'Violetby',
  'Wheatspindle', 'Yewkettle', 'Zinnialow', 'Ashenfax', 'Bluebellby', 'Chaffquill', 'Daisylark',
  'Everwick', 'Flaxbarrow', 'Grebespoon', 'Hopfeather', 'Irisby', 'Thimblewick',
  'Jackdawby', 'Knotgrassley', 'Lobeliafax', 'Mallowquill', 'Nigellabarrow', 'Oxlipwhistle',
  'Pansyspindle', 'Quaverkettle', 'Ramsonlark', 'Saffronwick', 'Teaselspoon', 'Uplandfeather',
  'Verbenaby', 'Woodruffax', 'Yellowhammerly', 'Zedoarylow', 'Anemonquill', 'Betonybarrow',
  'Comfreylark', 'Dogwoodspoon', 'Eyebrightby', 'Fennelwhistle', 'Goldrodfax', 'Hyssopkettle',
  'Irontreeby', 'Knapweedlow', 'Lovagespindle', 'Meadowrueby', 'Nightjarfax', 'Ospreykettle',
  'Plantainquill',
] as const; // prettier-ignore

export const fictionalPhone = (index: number): string =>
  `01632 960${String(100 + index).padStart(3, '0')}`;
export const fictionalAddress = (index: number): string =>
  `${index + 1} Nowhere Row, Inventon, ZZ${(index % 9) + 1} 9ZZ`;
