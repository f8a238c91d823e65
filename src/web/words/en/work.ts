/** The texts of live updates and of long work, in English. */
export const work = {
  live: {
    lost: 'Not live: what others do is not shown for now. Trying to reach the service …',
    resting: 'Resting: nobody has used this page for a while. Touch it, and it is live again.',
    heldBack: 'Others have changed something here. It waits, so that what you typed is not lost.',
    show: 'Show it now',
    changedSince: 'Something was recorded since this was asked.',
    askAgain: 'Ask again',
  },
  intro:
    'Work that takes a while. It goes on when you leave this page; come back for what it gives.',
  askFor: 'Ask for',
  kinds: {
    recall_of_many: 'Recall of many lots',
    record_export: 'Export of the record',
    parts_import: 'Parts from a file',
  },
  asked: 'Asked for',
  none: 'Nothing was asked for yet.',
  older: 'Older ones',
  askedBy: (name: string, when: string) => `asked by ${name}, ${when}`,
  // The recall of many
  listOf: 'The list is of',
  lists: { lot: 'lots of hardware', batch: 'batches of resin, fabric and the like' },
  list: 'The lots or batches',
  listHint: 'One a line, as the maker’s letter has them. Up to 500.',
  askRecalls: 'Ask for all of them',
  manyAtOnce: 'Many lots at once',
  entries: (count: number) => (count === 1 ? 'one entry' : `${count} entries`),
  // The export
  exportIntro:
    'Every row of the record and every event, with the values that chain them, as one JSON value a line. Patients stand in it by chart number, without name, birth date, phone or address.',
  orderNumber: 'Order number',
  orderNumberHint: 'Left empty: the whole clinic.',
  askExport: 'Export',
  wholeClinic: 'of the whole clinic',
  ofOrder: (number: string) => `of order ${number}`,
  // The import
  file: 'CSV file of parts',
  fileHint:
    'The first line names the columns as the catalogue does: kind, catalogueNumber, name, ratedBodyMassKg and so on. Up to 2,000 parts.',
  then: 'What is to be done',
  thens: {
    look: 'look at every line only',
    enter: 'enter all, if nothing is wrong in any line',
  },
  lookAtParts: 'Look at the file',
  enterParts: 'Enter the parts',
  linesToLookAt: (count: number) => `${count} lines, to look at`,
  linesToEnter: (count: number) => `${count} lines, to enter`,
  // How far
  states: {
    waiting: 'waiting for its turn',
    running: 'under way',
    done: 'done',
    cancelled: 'cancelled',
    failed: 'failed',
  },
  howFar: 'How far it is',
  soFar: (done: number, total: number) => `${done} of ${total}`,
  cancel: 'Cancel',
  cancelling: 'being cancelled …',
  save: {
    recall_of_many: 'Save as CSV',
    record_export: 'Save the export',
    parts_import: 'Save what was found',
  },
  figures: {
    answered: 'found',
    notAnswered: 'not found',
    wearerLines: 'on the lists of wearers',
    inWork: 'sockets in work',
    inRetired: 'retired sockets',
    notReconciled: 'counts that do not close',
    rows: 'rows',
    events: 'events',
    upToEvent: 'up to event',
    lines: 'lines',
    wrong: 'lines with something wrong',
    entered: 'parts entered',
  },
};
