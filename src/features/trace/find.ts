/** One field for everything: what a typed or scanned text could be, kind by kind. */
import { lookedUp } from '../../access/lookUp.ts';
import { byRoles, seesIdentity } from '../../access/minimumNecessary.ts';
import { plainName } from '../../domain/lookAlikes.ts';
import { parseOrderLink } from '../../domain/orderLink.ts';
import { makeSocketNumber, parseOrderNumber, parseSocketNumber } from '../../domain/orderNumber.ts';
import { mayTraceBy, TRACE_KEYS } from '../../domain/trace.ts';
import { readUdi } from '../../domain/udi.ts';
import type { Act } from '../../store/act.ts';
import { todayAtClinic } from '../../store/clinic.ts';
import { searchPatients, type PatientRecord } from '../../store/patients.ts';
import { findNamed, type FoundBy, type Wanted } from '../../store/traceFind.ts';
import { initialsOf } from '../../domain/lookAlikes.ts';
import type { FoundThings } from './schemas.ts';

/** Of each kind; who finds more types more of it. Common practice, no source. */
const MOST_OF_A_KIND = 6;
/** Fewer signs than this are the beginning of everything. */
const LEAST_SIGNS = 2;

type Found = FoundThings['items'][number];

/** Finds what the text could be, of the kinds that the asker may ask the trace by. */
export async function findThings(act: Act, typed: string): Promise<FoundThings> {
  const { roles } = act.by;
  const may = TRACE_KEYS.filter((by) => mayTraceBy(by, roles).ok);
  const notLookedFor = TRACE_KEYS.filter((by) => !may.includes(by));
  const text = typed.trim();
  if (text.length < LEAST_SIGNS) return { items: [], more: [], notLookedFor, mistyped: null };
  const wanted = await wantedBy(act, text);
  const kinds = may.filter((by): by is FoundBy => by !== 'patient');
  const named = await findNamed(act, kinds, wanted, MOST_OF_A_KIND + 1);
  const patients = may.includes('patient') ? await patientsNamed(act, text) : [];
  const isNamed = seesIdentity(byRoles(roles));
  const found: Found[] = [
    ...patients.map((patient) => patientFound(patient, text, isNamed)),
    ...named,
  ];
  await lookedUp(act, {
    route: 'findThings',
    shown: isNamed ? 'identity' : 'bench',
    patientIds: patients.map(({ id }) => id),
  });
  const kept = TRACE_KEYS.flatMap((by) =>
    found.filter((each) => each.by === by).slice(0, MOST_OF_A_KIND),
  );
  return {
    // What is meant stands first: a whole number or name before what only begins so.
    items: [...kept.filter(({ exact }) => exact), ...kept.filter(({ exact }) => !exact)],
    more: TRACE_KEYS.filter((by) => found.filter((each) => each.by === by).length > MOST_OF_A_KIND),
    notLookedFor,
    mistyped: kept.length === 0 ? mistypedNumber(text) : null,
  };
}

/** What the text says as a number, a link on a traveller, or the code of a label. */
async function wantedBy(act: Act, text: string): Promise<Wanted> {
  const order = parseOrderLink(text);
  const number = order.ok ? order : parseOrderNumber(text);
  const socket = parseSocketNumber(text);
  const label = readUdi({ scans: [text], today: await todayAtClinic(act) });
  const { serial, lot } = label.ok ? label.value : { serial: null, lot: null };
  return {
    text,
    ...(number.ok ? { order: number.value } : {}),
    ...(socket.ok
      ? {
          socket: makeSocketNumber(socket.value.orderNumber, socket.value.kind, socket.value.n),
        }
      : {}),
    ...(serial === null ? {} : { serial }),
    ...(lot === null ? {} : { lot }),
  };
}

async function patientsNamed(act: Act, text: string): Promise<PatientRecord[]> {
  const ask = { phoneDigits: null, afterChartNumber: null, take: MOST_OF_A_KIND + 1 };
  const byChart = await searchPatients(act, { ...ask, nameWords: [], chartNumber: text });
  if (byChart.length > 0 || !seesIdentity(byRoles(act.by.roles))) return byChart;
  const nameWords = plainName(text)
    .split(' ')
    .filter((word) => word !== '');
  // A number has no words, and no words are in every name.
  return nameWords.length === 0 || /\d/.test(text)
    ? []
    : searchPatients(act, { ...ask, nameWords, chartNumber: null });
}

const patientFound = (patient: PatientRecord, text: string, named: boolean): Found => ({
  by: 'patient',
  key: patient.id,
  name: patient.chartNumber,
  about: named ? `${patient.familyName}, ${patient.givenName}` : initialsOf(patient),
  exact: patient.chartNumber.toUpperCase() === text.toUpperCase(),
});

/** What is wrong with a text that looks like a number of ours and is none. */
function mistypedNumber(text: string): string | null {
  const read = text.includes('/') ? parseSocketNumber(text) : parseOrderNumber(text);
  if (read.ok || !/^[a-z]{2,4}[\s-]?\d{2}/i.test(text)) return null;
  return read.reasons[0]?.detail ?? null;
}
