import { z } from 'zod';
import { drawDeliveryRecord } from '../../documents/deliveryRecord.ts';
import { drawLabel } from '../../documents/labels.ts';
import { drawMoveSlip } from '../../documents/moveSlip.ts';
import { drawWearerSheet } from '../../documents/wearerSheet.ts';
import { makeSocketNumber, parseSocketNumber } from '../../domain/orderNumber.ts';
import type { Api } from '../../http/api.ts';
import { uuid } from '../../http/fields.ts';
import { htmlPage } from '../../http/page.ts';
import { orRefuse } from '../../store/refused.ts';
import {
  CastParams,
  LabelQuery,
  LabelSizesToWrite,
  LabelSizesView,
  PaperQuery,
  PlaceParams,
  ScannedPlace,
  ScannedSocket,
  SocketParams,
} from './schemas.ts';
import {
  newLabelSizes,
  readDeliveryRecord,
  readLabel,
  readLabelSizes,
  readMoveSlip,
  readWearerSheet,
  type LabelRead,
} from './service.ts';

const tag = 'Papers';
const contentType = 'application/pdf';

/** A code that was scanned opens the client's page, where somebody is signed in; else who it is is asked. */
const turnedTo = (title: string, page: string): string =>
  htmlPage(title, `<p><a href="${page}">Open it</a></p>`, page);

/** `KB-26-00417-X/D1` as a file's name. */
const inName = (number: string): string => number.replaceAll(/[^\w.-]/g, '-');

/** @param publicUrl where people reach the service; the codes lead there. */
export function papersRoutes(api: Api, publicUrl: string): void {
  api.read(
    {
      url: '/api/v1/label-sizes',
      name: 'readLabelSizes',
      tag,
      summary: 'How large the clinic’s labels are',
      answer: LabelSizesView,
    },
    (act) => readLabelSizes(act),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/label-sizes',
      name: 'writeLabelSizes',
      tag,
      summary: 'Write the next version of the label sizes',
      description: 'The one in force is kept. A label too small for its code is refused.',
      body: LabelSizesToWrite,
      answer: LabelSizesView,
    },
    (act, { body }) => newLabelSizes(act, body),
  );
  labelRoutes(api, publicUrl);
  paperRoutes(api, publicUrl);
  scanRoutes(api);
}

function labelRoutes(api: Api, publicUrl: string): void {
  const draw = async (
    { record, sizes, madeAt }: LabelRead,
    copies: number,
    fileName: string,
  ): Promise<{ bytes: Buffer; fileName: string }> => ({
    bytes: await drawLabel(record, {
      size: sizes[record.kind],
      marginMm: sizes.marginMm,
      copies,
      publicUrl,
      madeAt,
    }),
    fileName,
  });
  api.document(
    {
      url: '/api/v1/sockets/:socketId/label.pdf',
      name: 'printSocketLabel',
      tag,
      summary: 'The label of a socket',
      description:
        'On the clinic’s own stock: a code that opens the socket’s next operation, number, kind, chart number and initials, and the side.',
      params: SocketParams,
      query: LabelQuery,
      contentType,
    },
    (act, { params }) => readLabel(act, 'socket', params.socketId),
    (read, { params, query }) => draw(read, query.copies, `label-socket-${params.socketId}.pdf`),
  );
  api.document(
    {
      url: '/api/v1/casts/:castId/label.pdf',
      name: 'printModelLabel',
      tag,
      summary: 'The label of the model (mould) made from a cast',
      params: CastParams,
      query: LabelQuery,
      contentType,
    },
    (act, { params }) => readLabel(act, 'model', params.castId),
    (read, { params, query }) => draw(read, query.copies, `label-model-${params.castId}.pdf`),
  );
  api.document(
    {
      url: '/api/v1/places/:placeId/label.pdf',
      name: 'printBinLabel',
      tag,
      summary: 'The label of a bin',
      description: 'Its code names the bin at a move.',
      params: PlaceParams,
      query: LabelQuery,
      contentType,
    },
    (act, { params }) => readLabel(act, 'bin', params.placeId),
    (read, { params, query }) => draw(read, query.copies, `label-bin-${params.placeId}.pdf`),
  );
}

function paperRoutes(api: Api, publicUrl: string): void {
  api.document(
    {
      url: '/api/v1/sockets/:socketId/move-slip.pdf',
      name: 'printMoveSlip',
      tag,
      summary: 'The hardware move slip of a socket',
      description: 'What went in and out, when and by whom, and what is to be done since.',
      params: SocketParams,
      query: PaperQuery,
      contentType,
    },
    (act, { params }) => readMoveSlip(act, params.socketId),
    async ({ record, paper, madeAt }, { query }) => ({
      bytes: await drawMoveSlip(record, { paper: query.paper ?? paper, madeAt, publicUrl }),
      fileName: `hardware-${inName(record.socketNumber)}.pdf`,
    }),
  );
  api.document(
    {
      url: '/api/v1/sockets/:socketId/delivery-record.pdf',
      name: 'printDeliveryRecord',
      tag,
      summary: 'The delivery record of a delivered socket',
      description:
        'The elements of a proof of delivery, read from the content that was signed. Refused before the signed delivery.',
      params: SocketParams,
      query: PaperQuery,
      contentType,
    },
    (act, { params }) => readDeliveryRecord(act, params.socketId),
    async ({ record, paper, madeAt }, { query }) => ({
      bytes: await drawDeliveryRecord(record, { paper: query.paper ?? paper, madeAt }),
      fileName: `delivery-${inName(record.socketNumber)}.pdf`,
    }),
  );
  api.document(
    {
      url: '/api/v1/sockets/:socketId/wearer-sheet.pdf',
      name: 'printWearerSheet',
      tag,
      summary: 'What the wearer takes home, in plain words',
      description:
        'Common practice; the maker’s instructions and the licensed prosthetist come first. Refused before the signed delivery.',
      params: SocketParams,
      query: PaperQuery,
      contentType,
    },
    (act, { params }) => readWearerSheet(act, params.socketId),
    async ({ record, paper, madeAt }, { query }) => ({
      bytes: await drawWearerSheet(record, { paper: query.paper ?? paper, madeAt }),
      fileName: `wearer-${inName(record.socketNumber)}.pdf`,
    }),
  );
}

/** Where the codes on labels lead; nothing is looked up for who is not signed in. */
function scanRoutes(api: Api): void {
  api.open(
    {
      method: 'GET',
      url: '/o/:number/:socket',
      name: 'openScannedSocket',
      tag,
      summary: 'Where the code on a socket’s label leads',
      description: 'Checks the number’s check character; it looks nothing up.',
      params: z.strictObject({
        number: z.string().min(1).max(40),
        socket: z.string().min(1).max(8),
      }),
      answer: ScannedSocket,
      page: ({ number }) => turnedTo(`Socket ${number}`, `/bench/o/${number}`),
    },
    ({ params }) => {
      const { orderNumber, kind, n } = orRefuse(
        parseSocketNumber(`${params.number}/${params.socket}`),
      );
      return {
        number: makeSocketNumber(orderNumber, kind, n),
        order: `/api/v1/orders/by-number/${orderNumber}`,
      };
    },
  );
  api.open(
    {
      method: 'GET',
      url: '/p/:placeId',
      name: 'openScannedPlace',
      tag,
      summary: 'Where the code on a bin’s label leads',
      params: z.strictObject({ placeId: uuid() }),
      answer: ScannedPlace,
      page: ({ place }) => turnedTo('A bin', `/bench/p/${place.replace(/.*=/, '')}`),
    },
    ({ params }) => ({ place: `/api/v1/items?placeId=${params.placeId}` }),
  );
}
