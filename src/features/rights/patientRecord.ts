/** The schema of a patient's whole record, made from the one list of what stands in it. */
import { z } from 'zod';
import { onWire, type ColumnKind } from '../../domain/patientRecord/columns.ts';
import { PATIENT_RECORD_VERSION, type PatientRecord } from '../../domain/patientRecord/document.ts';
import { PATIENT_RECORD, SECTIONS, type Section } from '../../domain/patientRecord/index.ts';
import { uuid } from '../../http/fields.ts';

const instant = () => z.iso.datetime({ offset: true });
const BARE = {
  id: uuid,
  ids: () => z.array(uuid()),
  text: () => z.string(),
  texts: () => z.array(z.string()),
  number: () => z.number(),
  flag: () => z.boolean(),
  day: () => z.iso.date(),
  instant,
  json: () => z.unknown(),
  base64: () => z.string().describe('Base64; null where it was erased.'),
} as const;

function columnSchema(kind: ColumnKind): z.ZodType {
  const bare = kind.replace('?', '') as keyof typeof BARE;
  const schema = BARE[bare]();
  // Null is JSON as well.
  return kind.endsWith('?') && bare !== 'json' ? schema.nullable() : schema;
}

const rowSchema = (section: Section): z.ZodType =>
  z.strictObject(
    Object.fromEntries(
      Object.entries(PATIENT_RECORD[section].columns).map(([column, kind]) => [
        onWire(column),
        columnSchema(kind),
      ]),
    ),
  );

const Sections = z.strictObject(
  Object.fromEntries(
    SECTIONS.map((section) => [
      onWire(section),
      z.array(rowSchema(section)).describe(PATIENT_RECORD[section].says),
    ]),
  ),
);

const sha256 = () => z.string().regex(/^[0-9a-f]{64}$/);
export const PatientRecordFile = z
  .strictObject({
    format: z.literal('castbook-patient-record'),
    version: z.literal(PATIENT_RECORD_VERSION),
    madeAt: instant(),
    clinic: z.strictObject({
      id: uuid(),
      name: z.string(),
      timeZone: z.string(),
      retentionYears: z.int(),
    }),
    patientId: uuid(),
    chartNumber: z.string(),
    reason: z.string().describe('For which it was asked.'),
    handedTo: z.string(),
    askedBy: z.string(),
    withheld: z.array(z.string()).describe('What does not stand in it, and why.'),
    sections: Sections,
    events: z.array(
      z.strictObject({
        seq: z.int(),
        id: uuid(),
        at: instant(),
        personId: uuid().nullable(),
        kind: z.string(),
        subjectKind: z.string(),
        subjectId: uuid(),
        orderId: uuid().nullable(),
        data: z.record(z.string(), z.unknown()),
        opened: z
          .record(z.string(), z.strictObject({ salt: z.string(), value: z.unknown() }))
          .describe(
            'Sealed values by path in `data`: the seal is the SHA-256 of the RFC 8785 canonical JSON of `[salt, value]`.',
          ),
        leafSha256: sha256().describe(
          'SHA-256 of the RFC 8785 canonical JSON of the event: at, clinicId, data, id, kind, orderId, personId, subjectId, subjectKind.',
        ),
        chainSha256: sha256().describe(
          'SHA-256 of the chain value before (of the clinic’s event `seq` − 1) and `leafSha256`.',
        ),
      }),
    ),
    people: z
      .array(z.strictObject({ id: uuid(), printedName: z.string(), roles: z.array(z.string()) }))
      .describe('Who those of the ids are.'),
    end: z.strictObject({ rows: z.int(), events: z.int(), upToEvent: z.int() }),
  })
  .meta({ id: 'PatientRecord' });

/** Reads a document that was made. @throws ZodError where it is none */
export function readDocument(json: string): z.output<typeof PatientRecordFile> {
  return PatientRecordFile.parse(JSON.parse(json));
}

/** The same with its sections by the names of the tables, as the paper reads it. */
export const asRecord = (file: z.output<typeof PatientRecordFile>): PatientRecord =>
  ({
    ...file,
    sections: Object.fromEntries(SECTIONS.map((each) => [each, file.sections[onWire(each)]])),
    // Each section was held against its columns above.
  }) as unknown as PatientRecord;
