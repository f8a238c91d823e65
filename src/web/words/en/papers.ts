/** The texts of labels and papers, in English. */
export const papers = {
  title: 'Papers',
  labelsTitle: 'Labels',
  print: 'Print',
  openPrinted: 'Open it again',
  socketLabel: (socket: string) => `Label of ${socket}`,
  modelLabel: (cast: number) => `Label of the model of cast ${cast}`,
  binLabel: (bin: string) => `Label of ${bin}`,
  moveSlip: (socket: string) => `Hardware move slip of ${socket}`,
  deliveryRecord: (socket: string) => `Delivery record of ${socket}`,
  wearerSheet: (socket: string) => `Sheet for who wears ${socket}`,
  noPapers: 'Labels come with the cast and the sockets.',

  // Sizes
  sizesTitle: 'Label sizes',
  sizesHint:
    'Measure the stock in your printer. The code stays readable: what is too small is refused.',
  kinds: { socket: 'Socket', model: 'Model (mould)', bin: 'Bin' },
  widthOf: (kind: string) => `${kind}: width, mm`,
  heightOf: (kind: string) => `${kind}: height, mm`,
  margin: 'Margin all around, mm',
  write: 'Record the sizes',
  written: (version: number) => `Version ${version} of the label sizes is in force.`,
  inForce: (version: number, by: string, at: string) =>
    `Version ${version} is in force, by ${by}, ${at}.`,
  starting: 'These are starting values; nobody has entered sizes yet.',
  bins: 'Bins',
  noBins: 'There are no bins yet.',

  // What a scanned label opens
  bin: 'Bin',
  lies: 'Lies here',
  nothingLies: 'Nothing lies here.',
  noSuchSocket: (number: string) => `This order has no socket ${number}.`,
  noSuchBin: 'This is no bin of the clinic.',

  // Where a piece goes
  whereTo: 'Where to',
  theBench: 'the bench',
  scanBin: 'Scan the bin’s label',
  scanBinHint: 'Scan it or choose the bin above.',
  notABin: 'This is no label of a bin of ours.',
};
