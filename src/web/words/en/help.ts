/** A word of help beside what needs it, in English. */
export const help = {
  about: (what: string) => `What is meant: ${what}`,
  checkCharacter:
    'The last character of an order number is worked out from all the others (ISO/IEC 7064, MOD 37,36). One character mistyped, or two changed about, and it no longer agrees: the number is then refused instead of opening somebody else’s order.',
  functionalLevel:
    'The functional level of the wearer, K0 to K4: K0 does not walk, K1 walks on level floors at one pace, K2 takes kerbs and stairs, K3 walks at any pace and more than everyday ways, K4 puts high loads on the limb, as in sport. The prosthetist judges it; the layup rules ask for it.',
  chance:
    'Of a hundred orders like this one, by this clinic’s own finished orders, so many would be ready by that day. It is a share, no promise; with fewer than twenty finished orders none is told.',
  guardBand:
    'The maker’s setting, drawn in at both ends by what the tool may be off. A reading inside this band proves the setting even if the tool errs as far as its class allows; a reading at the very end of the setting would not.',
  passes:
    'Every screw is turned three times in the order drawn: snug, half and full. So the parts come down flat and no screw takes the load of its neighbours.',
  ply: 'Thickness of prosthetic socks, counted in ply. The clinic has set how many millilitres, or how much of the volume, one ply stands for: the figure is a beginning for the fitting, no measure.',
  cap: 'The rounded end of the limb below the lowest circumference. Its depth is measured, or taken from the lowest height; where nobody measured it half the radius is assumed, and the volume says so.',
  clicks:
    'Each click is one notch of the pin that the lock has caught. Count all of them as the pin goes in; later the same lock and pin must give as many again.',
  leastClicks:
    'As few clicks as may be heard for the limb to be worn: the greater of what the lock’s and the pin’s own sheets ask for.',
  wall: 'How thick the laminate is expected to be, worked out from fabric, resin and fibre share, as if it had no voids. Measure the real wall; this figure is for the choice of layers.',
  fibreShare:
    'Mass of the fibre in the mass of the laminate, as a fraction of 1. Much resin drawn off leaves more fibre: stiffer and lighter, until fibre lies dry.',
  gate: 'All that has to be true before a limb may leave: operations done, joints torqued and still untouched, lock checked, findings closed, alignment within tolerance, fit accepted. It is judged anew each time it is asked; a later move of one part opens it again.',
  lotOrBatch:
    'A lot is of pieces, as their maker printed it on the label; a batch is a can, a roll or a bottle of material that the clinic entered.',
};
