/** The settings of a clinic, in English: what each does, and where its value comes from. */
const STARTING = 'Starting value; common practice, no source.';

export const clinic = {
  prefix: 'Order numbers begin with',
  says: 'What is set here holds from now on. What was worked out, promised or signed before stays as it was.',
  sections: {
    house: 'The house',
    delivery: 'Delivery and after',
    limb: 'Change of the limb',
    resin: 'Resin',
    dates: 'Dates',
    shelf: 'The shelf',
    money: 'Money',
    people: 'Figures about people',
    signIn: 'Signing in',
  },
  datesHelp:
    'A promised date comes from how long the clinic’s own finished orders took; until there are twenty of them, from the usual days set here. Both are counted in the working calendar.',
  labourIn: (currency: string) => `Labour for an hour, ${currency}`,
  secondFactorFor: {
    nobody: 'nobody; whoever wants one may add it',
    administrators_and_signers: 'administrators, and prosthetists who sign',
    everybody: 'everybody',
  },
  ply: { mL: 'millilitres', percent: 'per cent of the limb' },
  settings: {
    name: {
      label: 'Name of the clinic',
      help: 'Stands on travellers, delivery records and reports.',
    },
    timeZone: {
      label: 'Time zone',
      help: 'Days and times are shown in it, and the day changes by it. A place of the IANA time zone database. Times are kept in UTC.',
    },
    paper: {
      label: 'Paper',
      help: 'What travellers, labels and reports are laid out for: A4 (ISO 216) or US Letter.',
    },
    retentionYears: {
      label: 'Records are kept, years',
      help: 'At least seven years from delivery (42 CFR 424.516(f)); your law or payer may ask for longer. Nothing is deleted by itself.',
    },
    minorsUntilAge: {
      label: 'Records of minors are kept until this age, and the years after it',
      help: 'Common practice that differs from place to place; local law decides. Left empty: no difference is made.',
    },
    alignmentToleranceDeg: {
      label: 'Tolerance of the alignment, degrees',
      help: `How far the finished limb may differ in angle from the alignment that was accepted, before the prosthetist must sign for the difference. ${STARTING}`,
      usual: '1',
    },
    alignmentToleranceMm: {
      label: 'Tolerance of the alignment, mm',
      help: `The same for the offsets. ${STARTING}`,
      usual: '3',
    },
    releaserMayBeSoleWorker: {
      label: 'Who releases a limb may have done all its bench work alone',
      help: 'Usually a second pair of eyes is asked for before a limb leaves. A clinic of one person cannot; then it is said on each record.',
    },
    firstRecheckDays: {
      label: 'First re-check of the joints, days after delivery',
      help: `Screws settle in the first weeks. After it the service interval of each part counts. ${STARTING}`,
      usual: '7 to 30',
    },
    plyMeans: {
      label: 'One ply of sock makes up for',
      help: 'Whether your clinic thinks of a ply as so many millilitres, or as a share of the limb’s volume.',
    },
    perPly: {
      label: 'One ply, in that unit',
      help: `Socks differ by maker and by wear: weigh it against what your fittings show. ${STARTING}`,
      usual: '10 to 40 mL, or 0.5 to 2 per cent',
    },
    volumeLimitPercent: {
      label: 'Change of volume that asks for a decision, per cent',
      help: `A limb that changed by more since the cast asks the prosthetist whether a new cast is due. ${STARTING}`,
      usual: '3 to 10',
    },
    bagLossG: {
      label: 'Resin left in bag, tube and cup, g',
      help: `Added to each recipe. Weigh your bag after a lamination, and enter that. ${STARTING}`,
      usual: '30 to 100',
    },
    resinMarginPercent: {
      label: 'Margin on each recipe, per cent',
      help: `So that the socket is not left dry at the brim. ${STARTING}`,
      usual: '5 to 15',
    },
    scaleResolutionG: {
      label: 'Step of the shop’s scale, g',
      help: 'What the last figure of the display stands for. Recipes are rounded to it.',
      usual: '0.1 or 1',
    },
    wantedChance: {
      label: 'Chance at which a day is offered',
      help: `As a fraction: 0.8 is a day that four of five orders like this one would keep. ${STARTING}`,
      usual: '0.7 to 0.9, a fraction and not per cent',
    },
    atRiskBelow: {
      label: 'Chance below which a day is at risk',
      help: `Rather missed than kept: such orders stand in the list of late ones and those at risk. ${STARTING}`,
      usual: '0.3 to 0.7, a fraction and not per cent',
    },
    usualCastingDays: {
      label: 'Usual working days: casting',
      help: `From the opened order to the accepted cast and model. ${STARTING}`,
      usual: '1 to 15',
    },
    usualCheckFittingDays: {
      label: 'Usual working days: check fitting',
      help: `From the model to the accepted fit, every check socket included. ${STARTING}`,
      usual: '1 to 15',
    },
    usualLaminationDays: {
      label: 'Usual working days: lamination',
      help: `From the accepted fit to the finished definitive socket. ${STARTING}`,
      usual: '1 to 15',
    },
    usualDeliveryDays: {
      label: 'Usual working days: delivery',
      help: `From the finished socket to the delivered limb. ${STARTING}`,
      usual: '1 to 15',
    },
    reorderWindowDays: {
      label: 'Use is looked at over, days',
      help: `What went in these days says how fast a shelf empties. ${STARTING}`,
      usual: '90',
    },
    reorderLeadDays: {
      label: 'From an order of stock to the shelf, days',
      help: `How long your suppliers take. ${STARTING}`,
      usual: '7 to 30',
    },
    reorderCoverDays: {
      label: 'An order of stock should last, days',
      help: `Longer means fewer orders, and more that expires. ${STARTING}`,
      usual: '30 to 90',
    },
    currency: {
      label: 'Currency',
      help: 'By ISO 4217. It stays while any price or rate is kept in it: an amount would mean another sum.',
    },
    labourRatePerHourMinor: {
      label: 'Labour for an hour',
      help: 'In the currency, as 65.00. Left empty, the cost of a socket is told without labour. Technicians do not see it.',
    },
    secondFactorFor: {
      label: 'A second factor is asked of',
      help: 'A code of an authenticator app beside the password. Who must have one and has none can do nothing but add it, from the next renewal of the sign-in on; who signs needs a sign-in with it at once.',
    },
    benchLockMinutes: {
      label: 'A bench device locks by itself after, minutes',
      help: `Counted from the last touch, on devices on which somebody has set a PIN. ${STARTING}`,
      usual: '5 to 15',
    },
    pinHours: {
      label: 'A PIN is good for, hours from the sign-in',
      help: `Then the password is asked again. At most 24. ${STARTING}`,
      usual: '8 to 12',
    },
    figuresByPerson: {
      label: 'Quality figures may be told apart by technician',
      help: 'Counts of three say little about anybody. Where local law or agreement asks for it, leave this out.',
    },
  },
};
