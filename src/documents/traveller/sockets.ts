/** Which sockets were made under the order, and what is wrong with them. */
import { correctedLines } from '../corrections.ts';
import { instantWords } from '../dates.ts';
import { STYLES } from '../page.ts';
import { headedTable } from '../table.ts';
import { photosWords, spoken, spokenFirst } from '../words.ts';
import type { TravellerSocket } from './record.ts';
import { figure, type Section } from './sheet.ts';

function remarks(socket: TravellerSocket): string {
  return [
    `cast ${socket.castNumber}`,
    ...(socket.replaces === null ? [] : [`replaces ${socket.replaces}`]),
    ...(socket.sheetThicknessMm === null ? [] : [`sheet ${figure(socket.sheetThicknessMm)} mm`]),
  ].join(', ');
}

export const drawSockets: Section = ({ doc, record: { sockets } }) => {
  if (sockets.length === 0) return;
  headedTable(
    doc,
    'Sockets',
    [
      { title: 'Number', share: 28, style: STYLES.strong },
      { title: 'Kind', share: 16 },
      { title: 'State', share: 16 },
      { title: 'Made from', share: 40 },
    ],
    sockets.map((socket) => [
      socket.number,
      spoken(socket.kind),
      spoken(socket.state),
      remarks(socket),
    ]),
  );
};

export const drawFindings: Section = ({ doc, record: { openFindings, clinic } }) => {
  if (openFindings.length === 0) return;
  headedTable(
    doc,
    'Open findings',
    [
      { title: 'Found', share: 22, style: STYLES.strong },
      { title: 'On', share: 28 },
      { title: 'What', share: 50 },
    ],
    openFindings.map((finding) => [
      spokenFirst(finding.kind),
      `${finding.socket}\n${instantWords(finding.openedAt, clinic.timeZone)}`,
      [
        finding.operation === null ? finding.note : `${finding.operation}: ${finding.note}`,
        ...(finding.photos === 0 ? [] : [`${photosWords(finding.photos)} on record`]),
        ...correctedLines(finding.corrected, clinic.timeZone),
      ].join('\n'),
    ]),
  );
};
