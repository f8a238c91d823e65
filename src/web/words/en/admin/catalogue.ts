/** The catalogue, in English: parts with their torque settings, scanned labels, fabrics, resin, batches. */
export const catalogue = {
  parts: {
    enter: 'Enter a part',
    enterSays:
      'As the maker’s own label and document have it. What a part bears, and how tight its screws are, is read there and nowhere else.',
    everyKind: 'every kind',
    withdrawnOnly: 'those withdrawn',
    settingInForce: 'Torque setting in force',
    kinds: {
      lock: 'lock',
      lock_plate: 'lock plate',
      release_valve: 'push-button release valve',
      spring: 'spring',
      pin: 'pin',
      pyramid: 'pyramid',
      four_hole_adapter: 'four-hole adapter',
      screw_set: 'set of screws',
    },
    joints: { distal: 'distal joint', lock_plate: 'lock plate', release_valve: 'release valve' },
    fromDocument: (document: string, revision: string) => `${document}, revision ${revision}`,
    catalogue: {
      whatItIs: 'What it is',
      whatItBears: 'What it bears',
      onItsLabel: 'On its label',
      kind: 'Kind',
      catalogueNumber: 'Catalogue number',
      name: 'Name',
      holePattern: 'Hole pattern',
      thread: 'Thread',
      pinFit: 'Which pins and locks fit each other',
      side: 'Side',
      singleUse: 'Single use: never into a second socket',
      ratedBodyMassKg: 'Rated body mass, kg',
      ratedNeeded: 'This kind carries the wearer: it must be stated.',
      ratingDocument: 'Where the rating stands',
      leastClicks: 'Least clicks of a lock check',
      rangeDeg: 'Tilts either way, degrees',
      serviceIntervalDays: 'Service interval, days',
      udiIssuer: 'Whose codes its label carries',
      udiDeviceIdentifier: 'Device identifier',
      issuers: { GS1: 'GS1', HIBCC: 'HIBCC' },
    },
    help: {
      kind: 'Decides where it goes in a socket, and what must be known of it. It stays as it is entered.',
      catalogueNumber:
        'The maker’s or supplier’s number. Once in the catalogue; it stays as it is entered.',
      name: 'As people at the bench call it.',
      holePattern:
        'How it bolts to its neighbours, as “4-hole 36 mm”. Only parts with the same pattern are put together.',
      thread: 'Thread of the screws that it takes, or of the screw that it is, as “M6” (ISO 261).',
      pinFit:
        'The same word here on a lock and on a pin says that they fit. Left empty, nobody is told that they do not.',
      side: 'Only where a left one differs from a right one.',
      singleUse:
        'Screws with dried threadlocker, springs where the maker says so: a move into another socket offers fresh ones instead.',
      whatItBears:
        'Levels of ISO 10328 are names of ratings; the standard warns against choosing a device by them. The part’s own label decides. Software warns; the prosthetist decides.',
      ratedBodyMassKg:
        'From the part’s own label, in kilograms. Nobody heavier gets it; from 90 % on, the prosthetist must acknowledge it.',
      ratingDocument:
        'Document and revision in which the maker states the rating, so that it can be read again.',
      leastClicks:
        'How many clicks the maker asks to hear when the pin goes in. A check with fewer does not pass.',
      rangeDeg:
        'How far it can be tilted either way, by its document: alignment is told what is left of it.',
      serviceIntervalDays:
        'After so many days on the wearer it is due for service. Empty: the maker names none.',
      onItsLabel:
        'By issuer and device identifier a scanned label is known as this part. The two go together; without them it is received by hand.',
      udiIssuer: 'GS1 codes begin with (01) and 14 figures; HIBCC codes with a plus sign.',
      udiDeviceIdentifier:
        'GS1: the 14 figures of the GTIN. HIBCC: labeler, product and unit of measure. Their check characters are verified.',
    },
    oneTorque: (torque: string) => `${torque} N·m`,
    band: (from: string, to: string) => `${from} to ${to} N·m`,
    clamp: (f: {
      from: string;
      to: string;
      limit: string;
      name: string;
      percentFrom: string;
      percentTo: string;
    }) =>
      `Each screw would clamp with about ${f.from} to ${f.to} N: ${f.percentFrom} to ${f.percentTo} % of its ${f.name} of ${f.limit} N.`,
    settings: 'Torque settings',
    settingsHelp:
      'The band that the maker’s document states, with the document itself. A setting is never written over: a new one takes its place and the one before is kept. Joints confirmed before stay confirmed by the setting of their day.',
    noSetting: 'No setting is on record: joints that hang on this part cannot be torqued.',
    settingElsewhere:
      'Its joints are torqued by the setting of the part that the maker’s document is about: lock plate, release valve, pyramid or four-hole adapter.',
    newSetting: 'Enter a new setting',
    fasteners: (count: number, size: string, propertyClass: string) =>
      `${count} × ${size}, class ${propertyClass}`,
    threadlockers: { none: 'no threadlocker', required: 'with threadlocker' },
    since: (when: string) => `In force since ${when}.`,
    fromTo: (from: string, to: string) => `Superseded. In force from ${from} to ${to}.`,
    setting: {
      jointKind: 'Joint',
      document: 'Document',
      revision: 'Revision',
      unit: 'Unit of the document',
      torqueMin: 'Least torque',
      torqueMax: 'Greatest torque',
      fastenerCount: 'Number of screws',
      fastenerSize: 'Size',
      propertyClass: 'Property class',
      threadlocker: 'Threadlocker',
    },
    settingHelp: {
      jointKind:
        'Which screws are meant. The setting stands with the part that the maker’s document is about.',
      document:
        'Title or number of the maker’s document, so that anybody can read it again. No document, no setting.',
      revision: 'Revision, issue or date that stands on it.',
      unit: 'Type what the document says, in its own unit; it is kept in newton-metres. 1 N·m is 8.85 lbf·in (NIST SP 811).',
      torqueMin: 'Where the document states one figure only, type it twice.',
      torqueMax:
        'The band between both, less what the tool may be off, is what a reading must lie in.',
      propertyClass:
        'Stands on the head of the screw: 8.8, 10.9, 12.9 (steel, ISO 898-1), A2-70 and the like (stainless, ISO 3506-1).',
      threadlocker:
        'Whether the document asks for one. Then a joint is not confirmed without its batch.',
    },
    saveSetting: 'Save the setting',
    settingSaved: (clamp: string) => `The setting is in force. ${clamp}`,
    clampLater:
      'With torque, unit, size and class it is told here what each screw would clamp with.',
    clampIsEstimate: (friction: string, limit: string) =>
      `An estimate, F = T/(K·d): torque alone scatters the clamp load by about a quarter either way. Friction: ${friction}. Limit: ${limit}. The maker’s document decides.`,
  },
  pieces: {
    title: 'Pieces and their price',
    help: 'Each piece in the book, where it is, and what it cost. The cost of a socket is told from these prices.',
    none: 'No piece of it was received yet.',
    noCurrency:
      'Prices are entered once the clinic has a currency: see the settings of the clinic.',
    noPrice: 'no price',
    price: (piece: string, currency: string) => `Price of ${piece}, ${currency}`,
    priceHelp:
      'Of this one piece, as 149.00. Empty: not known; then the cost of a socket says that it is missing.',
  },
  drafts: {
    says: 'The bench received nothing under these labels: the catalogue does not know the device. Make the part from the maker’s document, then the label can be scanned again; or set it aside with the reason.',
    every: 'those resolved too',
    none: 'No label waits.',
    notWaiting: 'This label waits no longer.',
    lot: 'Lot',
    serial: 'Serial number',
    expires: 'Last day of use',
    own: 'The maker’s own mark',
    scanned: (who: string, when: string) => `Scanned by ${who}, ${when}.`,
    make: 'Make the part',
    setAside: 'Set it aside',
    why: 'Why no part is made of it',
    setAsideNow: (device: string) => `${device} is set aside.`,
    wasSetAside: (who: string, when: string, why: string) => `Set aside by ${who}, ${when}: ${why}`,
    wasMade: (who: string, when: string) => `Made into a part by ${who}, ${when}.`,
    itsPart: 'The part',
  },
  fabrics: {
    enter: 'Enter a fabric',
    changeSays:
      'Layups drafted before keep the sheet that they were worked out from. A draft that waits for its signature is to be drafted anew.',
    forms: { flat: 'flat, from a roll', tube: 'tube, drawn over', strip: 'strip or tape' },
    fields: {
      name: 'Name',
      material: 'Material',
      form: 'Form',
      arealDensityGm2: 'Areal density, g/m²',
      widthMm: 'Width, mm',
      fibreDensityGcm3: 'Density of the fibre, g/cm³',
      stretchPercent: 'Stretch of the girth, per cent',
    },
    help: {
      name: 'As on the roll, with its width: rolls of one material differ by it.',
      material:
        'The clinic’s word for what it is: small letters, digits and underscores, as structural_braid. Layup rules ask for the material, and the roll that reaches round the limb is chosen.',
      form: 'Decides how it is cut. It stays as it is entered.',
      arealDensityGm2: 'Of the dry fabric, from its sheet. 1 oz/yd² is 33.9 g/m².',
      widthMm: 'Of the roll. Of a tube laid flat, half its girth at rest.',
      fibreDensityGcm3:
        'Of the fibre itself and not of the fabric: thickness and fibre share hang on it.',
      stretchPercent:
        'By how much the girth of a tube may grow when it is drawn on. 0 for what does not give.',
    },
  },
  resins: {
    enter: 'Enter a resin product',
    changeSays: 'Recipes made before keep the product as it stood then.',
    sheet: 'The maker’s sheet',
    sheetHelp: 'Everything below is read from it. Another chemistry is another product.',
    ratio: 'Resin to hardener',
    ratioHelp:
      'By mass, as the scale shows it, and never by volume. 100A:38B by weight is 100 and 38.',
    clock: 'Time and heat',
    clockHelp:
      'The countdown at the bench starts from the pot life and halves it for each 10 °C warmer (rule of thumb, common practice). Too much in one cup heats by itself: past the cup limit the recipe is split into pours.',
    chemistries: { epoxy: 'epoxy', acrylic: 'acrylic', polyester: 'polyester' },
    fields: {
      name: 'Name',
      chemistry: 'Chemistry',
      document: 'Document',
      revision: 'Revision',
      densityGcm3: 'Density when cured, g/cm³',
      partsResin: 'Parts of resin by mass',
      partsHardener: 'Parts of hardener by mass',
      ratioTolerancePercent: 'The hardener may be off by, per cent',
      potLifeMinutes: 'Pot life, min',
      potLifeMassG: 'of so much in a cup, g',
      potLifeTemperatureC: 'at, °C',
      cupLimitG: 'Most in one cup, g',
      cureHours: 'Cures for, h',
      cureTemperatureC: 'Cures at, °C',
    },
    help: {
      chemistry: 'What cures it. It stays as it is entered.',
      document: 'Title or number of the maker’s sheet, so that anybody can read it again.',
      densityGcm3: 'Expected thickness and mass of the shell hang on it.',
      partsResin: 'The first figure of the ratio.',
      partsHardener: 'The second figure: grams of hardener to so many grams of resin.',
      ratioTolerancePercent: 'Weighed outside this, the lamination is stopped with a finding.',
      potLifeMinutes: 'By the sheet, for the mass and the temperature below.',
      potLifeMassG:
        'The mass for which the sheet states the pot life, often 100 g. More in a cup goes off sooner.',
      potLifeTemperatureC: 'The temperature for which the sheet states it. 77 °F is 25 °C.',
      cupLimitG:
        'By the sheet, or by what your cups have shown. Past it, resin heats by itself and can burn.',
      cureHours: 'Until the laminate may be ground.',
      cureTemperatureC: 'In the oven or in the room, as the sheet has it.',
    },
  },
  batches: {
    says: 'Batches are received and opened at the bench. Here their price is entered: the cost of a socket is told from it.',
    kind: 'Kind',
    everyKind: 'every kind',
    lot: (lot: string) => `lot ${lot}`,
    left: (amount: number, unit: string) => `${amount} ${unit} left`,
    quarantined: 'in quarantine',
    expired: 'expired',
    received: 'Received',
    opened: 'Opened',
    expires: 'Last day of use',
    of: 'Of',
    why: 'Why in quarantine',
    cost: 'What all of it cost',
    price: (lot: string, currency: string) => `Price of all of lot ${lot}, ${currency}`,
    priceHelp:
      'Of the whole batch as it came, as 49.00. Empty: not known; then the cost of a socket says that it is missing.',
  },
};
