import type { UDI_REASONS } from '../../../../domain/reasons/udi.ts';
import type { ReasonWords } from '../../reasons.ts';
import { satz } from '../satz.ts';
import { tag } from '../wort.ts';

const VON_HAND =
  'Scannen Sie noch einmal, oder tragen Sie Passteil, Los, Seriennummer und Ablauf von Hand vom Etikett ein.';

/** Refusals about scanned device identifiers, in German. */
export const UDI: ReasonWords<typeof UDI_REASONS> = {
  'udi-not-recognised': {
    title: 'Keine lesbare Produktkennung',
    words: (f) => `„${f.scanned}“ lässt sich nicht lesen: ${satz(f.why)}.`,
    wayOut: () =>
      'Scannen Sie den GS1- oder HIBC-Code des Etiketts; Codes anderer Stellen werden von Hand eingetragen.',
  },
  'udi-element-unknown': {
    title: 'Ein unbekannter Bestandteil',
    words: (f) =>
      `Bei „${f.element}“ sagt der ${f.issuer}-Code etwas, das hier nicht gelesen wird; auf den Rest ist darum kein Verlass.`,
    wayOut: () => VON_HAND,
  },
  'udi-element-malformed': {
    title: 'Ein Bestandteil hat einen Wert, den er nicht haben kann',
    words: (f) => `${satz(f.element)}: „${f.value}“ ${satz(f.why)}.`,
    wayOut: () => VON_HAND,
  },
  'udi-check-wrong': {
    title: 'Das Prüfzeichen stimmt nicht',
    words: (f) =>
      `${satz(f.of)} endet auf „${f.found}“; die anderen Zeichen verlangen „${f.expected}“.`,
    wayOut: () => 'Ein Zeichen wurde falsch gelesen oder vertippt: scannen Sie noch einmal.',
  },
  'udi-date-impossible': {
    title: 'Diesen Tag gibt es nicht',
    words: (f) => `${satz(f.element)}: „${f.value}“ ist kein Tag des Kalenders.`,
    wayOut: () => VON_HAND,
  },
  'udi-device-identifier-missing': {
    title: 'Der Code sagt nicht, welches Produkt es ist',
    words: (f) =>
      `Dieser ${f.issuer}-Code trägt nur: ${f.carried
        .split(', ')
        .map((each) => satz(each))
        .join(', ')}.`,
    wayOut: () => 'Scannen Sie auch den anderen Code des Etiketts, und senden Sie beide.',
  },
  'udi-cannot-be-told-apart': {
    title: 'Der Code lässt sich auf mehr als eine Art lesen',
    words: (f) => `Ohne Trennzeichen kann „${f.value}“ heißen: ${f.readings.join(' oder ')}.`,
    wayOut: () =>
      'Lassen Sie den Scanner das Trennzeichen weitergeben (FNC1 als Zeichen 29), scannen Sie mit der Kamera, oder geben Sie die Bestandteile mit ihren Klammern ein, wie gedruckt.',
  },
  'udi-blank-may-be-check': {
    title: 'Das Leerzeichen hinter dem Code gehört vielleicht dazu',
    words: (f) =>
      `„${f.scanned}“ endet mit einem Leerzeichen, das sein Prüfzeichen sein kann oder vom Lesegerät stammt; der Code stimmt so oder so.`,
    wayOut: () =>
      'Lassen Sie den Scanner nichts anhängen und scannen Sie noch einmal, oder tragen Sie Passteil, Los, Seriennummer und Ablauf von Hand vom Etikett ein.',
  },
  'udi-says-two-things': {
    title: 'Die Codes widersprechen sich',
    words: (f) => `${satz(f.element)} ist angegeben als ${f.values.join(' und als ')}.`,
    wayOut: () => 'Scannen Sie nur die Codes eines Etiketts.',
  },
  'udi-codes-not-of-one-label': {
    title: 'Die Codes stammen nicht von einem Etikett',
    words: (f) => `Die Codes gehören nicht zusammen: ${satz(f.why)}.`,
    wayOut: () => 'Scannen Sie nur die Codes eines Etiketts.',
  },
  'udi-half-given': {
    title: 'Eine Produktkennung gehört zu ihrer Vergabestelle',
    words: (f) => `Angegeben ist ${satz(f.given)}, ohne ${satz(f.missing)}.`,
    wayOut: () => 'Geben Sie beides an, wie auf dem Etikett, oder keines.',
  },
  'udi-device-taken': {
    title: 'Ein anderes Passteil hat diese Produktkennung',
    words: (f) =>
      `Der Katalog kennt ${f.issuer}-Produkt ${f.deviceIdentifier} als ein anderes Passteil.`,
    wayOut: () => 'Scannen Sie sein Etikett, um zu sehen, welches es ist, und ändern Sie jenes.',
  },
  'label-expired': {
    title: 'Am Tag des Eingangs abgelaufen',
    words: (f) => `${f.part} war bis ${tag(f.expiresOn)} zu verwenden; heute ist der ${tag(f.on)}.`,
    wayOut: () =>
      'Halten Sie es aus den Lagerfächern, und senden Sie es dorthin zurück, woher es kam.',
  },
  'label-says-otherwise': {
    title: 'Das Etikett sagt etwas anderes',
    words: (f) =>
      `Auf dem Etikett steht ${satz(f.what)}: ${satz(f.label)}; eingegeben ist ${f.byHand}.`,
    wayOut: () =>
      'Lassen Sie weg, was das Etikett sagt. Ist das Etikett falsch, nehmen Sie das Stück von Hand auf, mit einer Mitteilung an den Hersteller.',
  },
  'label-without-serial-or-lot': {
    title: 'Das Etikett nennt weder Seriennummer noch Los',
    words: (f) => `Nichts auf dem Etikett von ${f.part} sagt, welches Stück oder Los es ist.`,
    wayOut: () =>
      'Scannen Sie auch den anderen Code des Etiketts, oder geben Sie Seriennummer oder Los davon ein.',
  },
  'label-of-a-package': {
    title: 'Das Etikett gehört zu einer Packung, nicht zu einem Stück',
    words: (f) => `Seriennummer ${f.serial} steht auf einer Packung mit ${f.quantity} Stück.`,
    wayOut: () => 'Öffnen Sie sie und scannen Sie das Etikett jedes Stücks.',
  },
  'label-count-missing': {
    title: 'Wie viele Stück?',
    words: (f) => `Das Etikett von Los ${f.lot} nennt die Stückzahl nicht.`,
    wayOut: () => 'Zählen Sie und geben Sie die Zahl an.',
  },
  'part-draft-resolved': {
    title: 'Der Entwurf ist schon erledigt',
    words: (f) =>
      `Der Entwurf für Produkt ${f.deviceIdentifier} ist ein Passteil geworden oder wurde verworfen.`,
    wayOut: () => 'Scannen Sie das Etikett noch einmal, um zu sehen, was der Katalog jetzt weiß.',
  },
};
