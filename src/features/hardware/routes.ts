import { z } from 'zod';
import { moneyFor } from '../../access/minimumNecessary.ts';
import type { Api } from '../../http/api.ts';
import { pageFrom, readCursor } from '../../http/paging.ts';
import type { Act } from '../../store/act.ts';
import { listItems, type ItemRow } from '../../store/items.ts';
import { moveThing, transferHardware } from './custody.ts';
import {
  HardwareTransferred,
  ItemChange,
  ItemHistory,
  ItemPage,
  ItemParams,
  ItemQuery,
  ItemsReceived,
  ItemView,
  MakeBin,
  MoveRecorded,
  PlaceList,
  PlaceView,
  ReceiveItems,
  RecordMove,
  TransferHardware,
} from './schemas.ts';
import { changeItemPrice, itemHistory, makeBin, receiveItems } from './stock.ts';

const tag = 'Hardware';
const Cursor = z.object({ id: z.uuid() });

const viewOf = (act: Act, row: ItemRow) => ({
  ...row,
  priceMinor: moneyFor(act.by.roles, row.priceMinor),
  withPatient: row.socketState === 'delivered',
});

/** Bins, pieces of hardware, moves and transfers. */
export function hardwareRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/places',
      name: 'listPlaces',
      tag,
      summary: "The clinic's bins and single places",
      answer: PlaceList,
    },
    async (act) => ({
      items: (
        await act.tx.place.findMany({
          where: { clinicId: act.clinicId, socketId: null },
          orderBy: { name: 'asc' },
        })
      ).map((place) => PlaceView.parse(place)),
    }),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/places',
      name: 'makeBin',
      tag,
      summary: 'Make a bin',
      body: MakeBin,
      answer: PlaceView,
    },
    (act, { body }) => makeBin(act, body.name),
  );
  api.read(
    {
      url: '/api/v1/items',
      name: 'listItems',
      tag,
      summary: 'Pieces of hardware, by place, part, serial or lot',
      query: ItemQuery,
      answer: ItemPage,
    },
    async (act, { query }) => {
      const after = readCursor(Cursor, query.after);
      const rows = await listItems(act.tx, act.clinicId, {
        placeId: query.placeId,
        partId: query.partId,
        kind: query.kind,
        serial: query.serial,
        lot: query.lot,
        free: query.free === 'true',
        afterId: after?.id,
        limit: query.limit + 1,
      });
      return pageFrom(
        rows,
        query.limit,
        (row) => ({ id: row.id }),
        (row) => viewOf(act, row),
      );
    },
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/items',
      name: 'receiveItems',
      tag,
      summary: 'Receive pieces of a part into a bin',
      description:
        'Each piece becomes an item with its first move (R1): one for each serial number, or a count of one lot. What has a code on its label is better received by scanning it.',
      body: ReceiveItems,
      answer: ItemsReceived,
    },
    (act, { body }) => receiveItems(act, body),
  );
  api.read(
    {
      url: '/api/v1/items/:itemId',
      name: 'readItem',
      tag,
      summary: 'One piece and every move it made',
      params: ItemParams,
      answer: ItemHistory,
    },
    async (act, { params }) => {
      const { item, moves } = await itemHistory(act, params.itemId);
      return { item: viewOf(act, item), moves };
    },
  );
  api.write(
    {
      method: 'PATCH',
      url: '/api/v1/items/:itemId',
      name: 'changeItemPrice',
      tag,
      summary: 'Enter or correct the price of a piece',
      description: 'All else about a piece is a record of what came, and stays (R10).',
      params: ItemParams,
      body: ItemChange,
      answer: ItemView,
      versioned: true,
    },
    async (act, { params, body, expectedVersion }) =>
      viewOf(act, await changeItemPrice(act, params.itemId, body, expectedVersion)),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/moves',
      name: 'recordMove',
      tag,
      summary: 'Move one item or shop tool',
      description:
        'The thing must be where the move says (R2); of two people moving it at once one wins and the other is told where it went (R1). It must fit where it goes, be rated for the patient and not be past its last day of use (R3); a definitive socket must be cured, its dummy out and its chamber inspected (R6); what a patient wears moves in an open service visit only (R15).',
      body: RecordMove,
      answer: MoveRecorded,
    },
    (act, { body }) => moveThing(act, body),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/transfers',
      name: 'transferHardware',
      tag,
      summary: 'Move named hardware from one socket to another at once',
      description:
        'All or nothing. Single-use parts (screws with dried threadlocker) stay behind; fresh ones are offered, and can be named to go in with the rest.',
      body: TransferHardware,
      answer: HardwareTransferred,
    },
    (act, { body }) => transferHardware(act, body),
  );
}
