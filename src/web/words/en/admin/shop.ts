/** The shop, in English: tools and their calibrations, bins, benches. */
export const shop = {
  tools: {
    enter: 'Enter a shop tool',
    enterHelp:
      'Dummies, tooling plates and torque tools have a place like hardware, but never leave with a patient. It is received into its bin at once.',
    entered: (name: string) => `${name} is entered.`,
    kinds: {
      fabrication_dummy: 'fabrication dummy',
      tooling_plate: 'tooling plate',
      torque_tool: 'torque tool',
    },
    types: {
      indicating: 'indicates the torque (Type I)',
      setting: 'releases at a set torque (Type II)',
    },
    fields: {
      kind: 'Kind',
      name: 'Name',
      serial: 'Serial number',
      holePattern: 'Hole pattern',
      toolType: 'Type',
      toolClass: 'Class',
      minNm: 'Range from, N·m',
      maxNm: 'Range to, N·m',
      toPlaceId: 'Bin',
    },
    help: {
      name: 'As on its label; once in the clinic.',
      toolType:
        'ISO 6789-1: a Type I tool shows what is turned, a Type II tool clicks or slips at what was set.',
      toolClass:
        'The letter in its document (ISO 6789-1): A to E for Type I, A to G for Type II. What it may be off hangs on it.',
      range: 'From its document. A setting outside the range cannot be proven with it.',
      toPlaceId: 'Where it lies from now on.',
    },
    place: 'Where it is',
    due: 'Calibration due',
    range: 'Range',
    rangeWords: (from: number, to: number) => `${from} to ${to} N·m`,
    permissible: 'May be off by',
    neverCalibrated: 'never calibrated',
    service: 'Service',
    inService: 'in service',
    outOfService: 'out of service',
    proves: (left: number) =>
      `A joint torqued with it counts today. ${left} readings are left until it is due by use.`,
    provesNot: 'No joint torqued with it counts today:',
    takeOut: 'Take it out of service',
    takeOutHelp:
      'Dropped, damaged, lent out: from now on it proves nothing. Joints closed with it before stay closed; look at them by its trace.',
    putBack: 'Put it back in service',
    putBackHelp:
      'After repair, with the reason. A torque tool proves again only with a valid calibration.',
    why: 'Why',
    isOut: (name: string) => `${name} is out of service.`,
    isBack: (name: string) => `${name} is back in service.`,
    calibration: {
      title: 'Calibrations',
      titleHelp:
        'Twelve months or 5,000 uses, whichever comes first (ISO 6789-1). Uses are counted from the readings in the book.',
      none: 'No certificate is on record: no joint can be proven with it.',
      by: (certificate: string, laboratory: string) => `certificate ${certificate}, ${laboratory}`,
      found: (percent: number) => `Found off by ${percent} %.`,
      left: (percent: number) => `Adjusted; left off by ${percent} %.`,
      inDoubt: (count: number) =>
        count === 1
          ? 'One joint closed with it since the calibration before is in doubt.'
          : `${count} joints closed with it since the calibration before are in doubt.`,
      whichOnes: 'Which ones',
      enter: 'Enter a certificate',
      entered: 'The certificate is on record.',
      fields: {
        calibratedOn: 'Calibrated on',
        certificate: 'Number of the certificate',
        laboratory: 'Laboratory',
        validUntil: 'Valid until',
        deviationPercent: 'Greatest deviation as it came in, per cent',
        deviationAfterPercent: 'Greatest deviation left, per cent',
      },
      help: {
        certificate: 'Once for this tool.',
        laboratory: 'Who calibrated it, with its accreditation where it has one (ISO/IEC 17025).',
        validUntil: 'Only where the certificate itself names a day sooner than twelve months on.',
        deviationPercent:
          'Beyond what its class allows, what it closed since the calibration before is in doubt. Empty: the certificate does not say.',
        deviationAfterPercent:
          'Only where the laboratory adjusted it: then this decides whether it proves.',
      },
    },
  },
  bins: {
    says: 'Bins for hardware and shop tools. Receiving, bench, quarantine and scrap are there from the start. A bin stays: moves of years ago name it.',
    add: 'Add a bin',
    addHelp: 'As it is written on the shelf, so that whoever reads the book finds it.',
    name: 'Name',
    added: (name: string) => `Bin ${name} is there.`,
  },
  benches: {
    says: 'Planned minutes of the routes, beside the hours in which a bench is manned, make its load of a day.',
    manned: (people: number) => (people === 1 ? 'one person' : `${people} people`),
    givenUp: 'given up',
    name: 'Name',
    nameHelp: 'Routes name it. Called otherwise it is still the same bench.',
    people: 'People at a time',
    peopleHelp: 'How many work there beside each other, 1 to 50; not how many could.',
    active: 'In use',
    activeHelp:
      'Given up, no route may name it any more. Work that is planned there already shows as an overload.',
    add: 'Add a bench',
    addHelp: 'A place in the shop where one kind of work is done: plaster, oven, grinding.',
    added: (name: string) => `Bench ${name} is there.`,
  },
};
