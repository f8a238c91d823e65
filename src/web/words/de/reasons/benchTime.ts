import type { BENCH_TIME_REASONS } from '../../../../domain/reasons/benchTime.ts';
import type { ReasonWords } from '../../reasons.ts';
import { satz } from '../satz.ts';
import { tag, wort } from '../wort.ts';

/** Refusals of what was recorded at the bench and arrives later, in German. */
export const BENCH_TIME: ReasonWords<typeof BENCH_TIME_REASONS> = {
  'recorded-in-future': {
    title: 'In der Zukunft aufgezeichnet',
    words: (f, m) =>
      `Nach der mitgesandten Zeit ist dies erst in ${m.figure(f.minutesAhead, 0)} min aufgezeichnet.`,
    wayOut: () => 'Stellen Sie die Uhr des Telefons, und zeichnen Sie noch einmal auf.',
  },
  'recorded-long-ago': {
    title: 'Vor zu langer Zeit aufgezeichnet',
    words: (f, m) =>
      `Dies wurde vor ${m.figure(f.hoursAgo, 0)} h aufgezeichnet; Aufbewahrtes wird ${m.figure(f.greatestHours)} h lang angenommen.`,
    wayOut: () =>
      'Sehen Sie nach, wie die Arbeit jetzt steht, und machen Sie es noch einmal; was damals war, kann ein Befund sagen.',
  },
  'moved-since-recorded': {
    title: 'Etwas wurde bewegt, wovon diese Aufzeichnung nicht wusste',
    words: (f) =>
      `${f.item} wurde von ${f.movedBy} bewegt (${tag(f.movedAt)}); die Aufzeichnung vom ${tag(f.recordedAt)} wusste davon nichts.`,
    wayOut: () =>
      'Was angezogen oder geprüft wurde, kann seither auseinander gewesen sein: machen Sie es noch einmal.',
  },
  'evidence-newer': {
    title: 'Es gibt davon eine neuere Aufzeichnung',
    words: (f) =>
      `${satz(wort(f.what))}: aufgezeichnet von ${f.by}, ${tag(f.at)}; diese Aufzeichnung ist vom ${tag(f.recordedAt)}.`,
    wayOut: () =>
      'Die neuere gilt. Sehen Sie nach, wie es jetzt steht, und machen Sie es noch einmal, wenn es sein muss.',
  },
  'thing-moved-since': {
    title: 'Das Stück wurde nach dieser Aufzeichnung bewegt',
    words: (f) =>
      `${f.item} wurde von ${f.movedBy} bewegt (${tag(f.movedAt)}), nach dieser Aufzeichnung (${tag(f.recordedAt)}).`,
    wayOut: () =>
      'Sehen Sie nach, wo es jetzt ist, und zeichnen Sie die Bewegung von dort auf, wenn sie noch ansteht.',
  },
  'recorded-since': {
    title: 'Jemand hat es inzwischen aufgezeichnet',
    words: (f) =>
      `${satz(f.what)}: aufgezeichnet von ${f.by} (${tag(f.at)}); diese Aufzeichnung wusste davon nichts.`,
    wayOut: () =>
      'Sehen Sie nach, was jetzt aufgezeichnet ist, und zeichnen Sie Ihres noch einmal auf, wenn es noch gilt.',
  },
};
