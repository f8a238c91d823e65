import { v7 as uuidv7 } from 'uuid';
import { z } from 'zod';
import { NUT_FACTORS_WET_THREADLOCKER, questionTorqueSetting } from '../../domain/fasteners.ts';
import { judgePartEntry, settingCarriers } from '../../domain/partEntry.ts';
import { reason } from '../../domain/reasons/index.ts';
import { toNewtonMetres } from '../../domain/torqueUnits.ts';
import { pageFrom, readCursor, type Page } from '../../http/paging.ts';
import type { Act } from '../../store/act.ts';
import { holdPart, listParts, loadPart } from '../../store/catalogue.ts';
import { isUniqueClash } from '../../store/failures.ts';
import { orRefuse, Refused, refuseIfAny } from '../../store/refused.ts';
import { changesOf, refuseStale } from '../../store/versions.ts';
import type {
  PartChange,
  PartQuery,
  PartToAdd,
  PartView,
  TorqueSettingAdded,
  TorqueSettingToAdd,
} from './schemas.ts';

export const readPart = (act: Act, partId: string): Promise<PartView> => loadPart(act, partId);

export async function findParts(act: Act, query: PartQuery): Promise<Page<PartView>> {
  const rows = await listParts(act, {
    kind: query.kind ?? null,
    active: query.active === undefined ? null : query.active === 'true',
    afterNumber: readCursor(z.string(), query.after) ?? null,
    take: query.limit + 1,
  });
  return pageFrom(
    rows,
    query.limit,
    (row) => row.catalogueNumber,
    (row) => row,
  );
}

/** Enters a part. @throws Refused 'rating-missing', 'part-field-misfits', 'catalogue-number-taken'. */
export async function addPart(act: Act, input: PartToAdd): Promise<PartView> {
  refuseIfAny(judgePartEntry(input));
  const id = uuidv7();
  try {
    await act.tx.part.create({
      data: { clinicId: act.clinicId, id, ...input, createdAt: act.at },
    });
  } catch (failure) {
    if (!isUniqueClash(failure, 'catalogue_number')) throw failure;
    const { catalogueNumber } = input;
    throw new Refused([reason('catalogue-number-taken', { catalogueNumber }, '/catalogueNumber')], {
      cause: failure,
    });
  }
  act.record({ kind: 'part.added', subjectKind: 'part', subjectId: id, data: { ...input } });
  return loadPart(act, id);
}

/** Changes a part's entry, from the version that was read; its kind and number stay. */
export async function changePart(
  act: Act,
  partId: string,
  change: PartChange,
  expectedVersion: number,
): Promise<PartView> {
  const before = await loadPart(act, partId);
  if (before.version !== expectedVersion) refuseStale(expectedVersion, before.version);
  const changes = changesOf(before, change);
  if (!changes.any) return before;
  refuseIfAny(judgePartEntry({ ...before, ...changes.set }));
  const { count } = await act.tx.part.updateMany({
    where: { clinicId: act.clinicId, id: partId, version: expectedVersion },
    data: { ...changes.set, version: { increment: 1 } },
  });
  if (count === 0) refuseStale(expectedVersion, (await loadPart(act, partId)).version);
  act.record({
    kind: 'part.changed',
    subjectKind: 'part',
    subjectId: partId,
    data: changes.event,
  });
  return loadPart(act, partId);
}

/**
 * Enters the maker's setting for a joint; the one in force before is superseded
 * and kept. @throws Refused 'setting-not-for-this-part', 'torque-setting-upside-down',
 * 'torque-setting-implausible' (R5).
 */
export async function addTorqueSetting(
  act: Act,
  partId: string,
  input: TorqueSettingToAdd,
): Promise<TorqueSettingAdded> {
  const { tx, clinicId } = act;
  const { torqueMin, torqueMax, unit, ...rest } = input;
  const part = await holdPart(act, partId);
  const carriers = settingCarriers(input.jointKind);
  if (!carriers.includes(part.kind)) {
    const facts = { joint: input.jointKind, kind: part.kind, carriers };
    throw new Refused([reason('setting-not-for-this-part', facts, '/jointKind')]);
  }
  const torqueMinNm = toNewtonMetres(torqueMin, unit);
  const torqueMaxNm = toNewtonMetres(torqueMax, unit);
  const clamp = orRefuse(
    questionTorqueSetting({
      torqueMinNm,
      torqueMaxNm,
      size: input.fastenerSize,
      propertyClass: input.propertyClass,
      typedIn: unit,
      ...(input.threadlocker === 'required' ? { nutFactor: NUT_FACTORS_WET_THREADLOCKER } : {}),
    }),
  );
  const inForce = part.settings.find(
    (each) => each.jointKind === input.jointKind && each.supersededAt === null,
  );
  if (inForce !== undefined) {
    await tx.torqueSetting.update({
      where: { clinicId_id: { clinicId, id: inForce.id } },
      data: { supersededAt: act.at },
    });
  }
  const id = uuidv7();
  await tx.torqueSetting.create({
    data: {
      clinicId,
      id,
      partId,
      ...rest,
      torqueMinNm,
      torqueMaxNm,
      recordedAt: act.at,
      recordedById: act.by.personId,
    },
  });
  act.record({
    kind: 'torque_setting.recorded',
    subjectKind: 'part',
    subjectId: partId,
    data: {
      settingId: id,
      ...rest,
      torqueMinNm,
      torqueMaxNm,
      typed: { torqueMin, torqueMax, unit },
      supersedes: inForce?.id ?? null,
    },
  });
  return {
    part: await loadPart(act, partId),
    clampLoad: {
      fromN: clamp.clampLoadFromN,
      toN: clamp.clampLoadToN,
      limitN: clamp.limit.newtons,
      limitName: clamp.limit.name,
      percentOfLimitFrom: clamp.percentOfLimitFrom,
      percentOfLimitTo: clamp.percentOfLimitTo,
    },
  };
}
