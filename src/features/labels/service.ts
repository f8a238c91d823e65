/** Labels scanned at the bench: what they say, stock received by them, and the drafts of what is not known. */
import { z } from 'zod';
import { isBefore, type Day } from '../../domain/days.ts';
import { judgeLabelled } from '../../domain/receiving.ts';
import { reason } from '../../domain/reasons/index.ts';
import { readUdi, type Udi } from '../../domain/udi.ts';
import { pageFrom, readCursor, type Page } from '../../http/paging.ts';
import type { Act } from '../../store/act.ts';
import { todayAtClinic } from '../../store/clinic.ts';
import { listItems } from '../../store/items.ts';
import {
  draftOf,
  holdDraft,
  listDrafts,
  loadDraft,
  otherPackagesOf,
  partOfDevice,
  setDraftAside,
  waitingDraft,
  type KnownPart,
  type PartDraft,
} from '../../store/partDrafts.ts';
import { orRefuse, Refused } from '../../store/refused.ts';
import { addPart } from '../catalogue/enter.ts';
import type { PartView } from '../catalogue/schemas.ts';
import { receiveItems } from '../hardware/stock.ts';
import type {
  LabelRead,
  PartDraftQuery,
  PartDraftView,
  PartOfDraft,
  ReceiveScanned,
  ScannedLabel,
  ScanReceived,
} from './schemas.ts';

/** What a label says, with what is plain of it today. */
const labelView = (label: Udi, today: Day): z.input<typeof LabelRead>['label'] => ({
  ...label,
  monthOnly: [...label.monthOnly],
  others: [...label.others],
  expired: label.expiresOn !== null && isBefore(label.expiresOn, today),
});

const read = ({ scans, separatorsKept }: ScannedLabel, today: Day): Udi =>
  orRefuse(readUdi({ scans, separatorsKept, today }));

/** Reads a label and says what the catalogue knows of it. Changes nothing. @throws Refused 'udi-…'. */
export async function readLabel(
  act: Act,
  scanned: ScannedLabel,
): Promise<z.input<typeof LabelRead>> {
  const today = await todayAtClinic(act);
  const label = read(scanned, today);
  const part = await partOfDevice(act, label);
  const draft = part === undefined ? await waitingDraft(act, label) : undefined;
  return {
    label: labelView(label, today),
    part: part ?? null,
    item: part === undefined ? null : await pieceOf(act, part, label.serial),
    draft: draft ?? null,
    otherPackages: await otherPackagesOf(act, label),
  };
}

async function pieceOf(
  act: Act,
  part: KnownPart,
  serial: string | null,
): Promise<z.input<typeof LabelRead>['item']> {
  if (serial === null) return null;
  const [item] = await listItems(act.tx, act.clinicId, { partId: part.id, serial, limit: 1 });
  return item === undefined ? null : { id: item.id, label: item.label, placeName: item.placeName };
}

/** FNC1 cannot be seen; readers that show it write {GS}, and it is read back so. */
const shown = (scans: readonly string[]): string => scans.join(' ').replaceAll('\u001d', '{GS}');

/**
 * Receives what is scanned, where the catalogue knows the device; else makes a draft
 * of a catalogue entry, one for each device, and receives nothing.
 * @throws Refused 'udi-…', 'label-…', 'value-out-of-range', 'part-withdrawn',
 *   'serial-already-received', 'day-in-future', 'day-order-wrong', 'not-found'.
 */
export async function receiveScanned(
  act: Act,
  body: ReceiveScanned,
): Promise<z.input<typeof ScanReceived>> {
  const today = await todayAtClinic(act);
  const label = read(body, today);
  const said = { label: labelView(label, today), otherPackages: await otherPackagesOf(act, label) };
  const part = await partOfDevice(act, label);
  if (part === undefined) {
    const { draft, made } = await draftOf(act, label);
    return {
      ...said,
      outcome: made ? 'draft_made' : 'draft_waits',
      part: null,
      itemIds: [],
      warnings: [],
      draft,
    };
  }
  const pieces = orRefuse(
    judgeLabelled(
      part.name,
      label,
      {
        serial: body.serial ?? null,
        lot: body.lot ?? null,
        expiresOn: body.expiresOn ?? null,
        count: body.count ?? null,
      },
      today,
    ),
  );
  const { itemIds, warnings } = await receiveItems(
    act,
    {
      partId: part.id,
      serials: pieces.serial === null ? [] : [pieces.serial],
      lot: pieces.lot ?? undefined,
      count: pieces.count,
      udi: shown(label.raw),
      scans: label.raw,
      expiresOn: pieces.expiresOn ?? undefined,
      madeOn: pieces.madeOn ?? undefined,
      priceMinor: body.priceMinor,
      toPlaceId: body.toPlaceId,
    },
    { part: '/scans', serials: '/scans' },
  );
  return { ...said, outcome: 'received', part, itemIds, warnings, draft: null };
}

const WAITING = { waiting: true, resolved: false, any: null } as const;

export async function findDrafts(act: Act, query: PartDraftQuery): Promise<Page<PartDraftView>> {
  const rows = await listDrafts(act, {
    waiting: WAITING[query.state],
    afterId: readCursor(z.uuid(), query.after) ?? null,
    take: query.limit + 1,
  });
  return pageFrom(
    rows,
    query.limit,
    (row) => row.id,
    (row) => row,
  );
}

/** @throws Refused 'not-found', 'part-draft-resolved'. */
async function heldWaiting(act: Act, draftId: string): Promise<PartDraft> {
  const draft = await holdDraft(act, draftId);
  if (draft.resolvedAt === null) return draft;
  const { deviceIdentifier } = draft;
  throw new Refused([reason('part-draft-resolved', { deviceIdentifier })]);
}

/** Makes the part of a draft, with the device that was scanned; entering it resolves the draft. */
export async function makePartOf(act: Act, draftId: string, entry: PartOfDraft): Promise<PartView> {
  const { issuer, deviceIdentifier } = await heldWaiting(act, draftId);
  return addPart(act, { ...entry, udiIssuer: issuer, udiDeviceIdentifier: deviceIdentifier });
}

export async function setAside(act: Act, draftId: string, note: string): Promise<PartDraftView> {
  await heldWaiting(act, draftId);
  await setDraftAside(act, draftId, note);
  return loadDraft(act, draftId);
}
