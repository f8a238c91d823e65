/** Every page with its address, and for whom the head names it. */
import type * as AdminPages from './admin/all.ts';
import type * as BenchPages from './bench/pages.ts';
import type { ComponentType } from 'preact';
import { OrderList } from './desk/OrderList.tsx';
import { Kept } from './offline/Kept.tsx';
import { later } from './parts/later.tsx';
import type { Person, Role } from './session/session.ts';
import type { Words } from './words/en.ts';

interface Page {
  readonly path: string;
  // wouter hands the address' parameters to the page; each page says which it has.
  readonly component: ComponentType<{ params: never }>;
}
interface NamedPage extends Page {
  readonly name: keyof Words['pages'];
  /** Whose head names it; everybody's where it says none. */
  readonly roles?: readonly Role[];
  /** Reached from another page as well, or asked for seldom: a wide head has it behind its button. */
  readonly seldom?: true;
}

/** The set-up is fetched as one, by those alone who come to it. */
const admin = (name: keyof typeof AdminPages) =>
  later(() => import('./admin/all.ts').then((pages) => pages[name] as Page['component']));

/** The bench is fetched as one: the shop's network is slow, and the next page is wanted at once. */
const fetchBench = () => import('./bench/pages.ts');
const bench = (name: keyof typeof BenchPages) =>
  later(() => fetchBench().then((pages) => pages[name] as Page['component']));
// Who begins there has it on the way while the sign-in is still being renewed.
if (/^\/(bench|o)(\/|$)/.test(location.pathname)) void fetchBench().catch(() => undefined);

const NAMED: readonly NamedPage[] = [
  { path: '/', name: 'orders', component: OrderList },
  {
    path: '/orders/new',
    name: 'open',
    seldom: true,
    roles: ['front_desk', 'prosthetist'],
    component: later(() => import('./desk/OpenOrder.tsx').then((page) => page.OpenOrder)),
  },
  {
    path: '/watch',
    name: 'watch',
    roles: ['front_desk', 'technician', 'prosthetist', 'administrator'],
    component: later(() => import('./desk/Watch.tsx').then((page) => page.Watch)),
  },
  {
    path: '/fittings',
    name: 'fittings',
    component: later(() => import('./book/FittingsPage.tsx').then((page) => page.FittingsPage)),
  },
  {
    path: '/bench',
    name: 'bench',
    roles: ['technician', 'prosthetist'],
    component: later(() => fetchBench().then((page) => page.Bench)),
  },
  {
    path: '/trace',
    name: 'trace',
    // Whoever may ask by something; the bench comes to it from its own pages.
    roles: ['front_desk', 'prosthetist', 'auditor', 'administrator'],
    component: later(() => import('./audit/TracePage.tsx').then((page) => page.TracePage)),
  },
  {
    path: '/recall',
    name: 'recall',
    roles: ['front_desk', 'prosthetist', 'auditor', 'administrator'],
    component: later(() => import('./audit/RecallPage.tsx').then((page) => page.RecallPage)),
  },
  { path: '/setup', name: 'setup', roles: ['administrator'], component: admin('Setup') },
  {
    path: '/record',
    name: 'record',
    roles: ['auditor', 'administrator'],
    component: later(() => import('./audit/RecordPage.tsx').then((page) => page.RecordPage)),
  },
  {
    path: '/openings',
    name: 'openings',
    seldom: true,
    roles: ['auditor', 'administrator'],
    component: later(() => import('./audit/OpeningsPage.tsx').then((page) => page.OpeningsPage)),
  },
  {
    path: '/long-work',
    name: 'work',
    seldom: true,
    roles: ['front_desk', 'prosthetist', 'auditor', 'administrator'],
    component: later(() => import('./work/WorkPage.tsx').then((page) => page.WorkPage)),
  },
  {
    path: '/retention',
    name: 'retention',
    seldom: true,
    roles: ['auditor', 'administrator'],
    component: later(() => import('./rights/RetentionPage.tsx').then((page) => page.RetentionPage)),
  },
];

const opened = (name: 'OpenedSocket' | 'OpenedBin') =>
  later(() => import('./papers/OpenedLabel.tsx').then((page) => page[name] as Page['component']));
const BENCH: readonly Page[] = [
  { path: '/bench/o/:number/:socket', component: opened('OpenedSocket') },
  { path: '/bench/p/:placeId', component: opened('OpenedBin') },
  { path: '/o/:number', component: bench('OpenedCode') },
  { path: '/bench/o/:number', component: bench('OpenedCode') },
  { path: '/bench/:socketId', component: bench('NextOperation') },
  { path: '/bench/:socketId/resin', component: bench('Resin') },
  { path: '/bench/:socketId/joints/:kind', component: bench('Torque') },
  { path: '/bench/:socketId/lock', component: bench('LockCheck') },
  { path: '/bench/:socketId/hardware', component: bench('Hardware') },
  { path: '/bench/:socketId/transfer', component: bench('Transfer') },
  { path: '/bench/:socketId/finding', component: bench('ReportFinding') },
];

const ADMIN: readonly Page[] = [
  { path: '/setup/people', component: admin('People') },
  { path: '/setup/people/:personId', component: admin('PersonPage') },
  {
    path: '/setup/labels',
    component: later(() => import('./papers/LabelSizes.tsx').then((page) => page.LabelSizes)),
  },
  { path: '/setup/clinic', component: admin('ClinicPage') },
  { path: '/setup/organisation', component: admin('OpenIdPage') },
  { path: '/setup/parts', component: admin('Parts') },
  { path: '/setup/parts/new', component: admin('NewPart') },
  { path: '/setup/parts/:partId', component: admin('PartPage') },
  { path: '/setup/drafts', component: admin('Drafts') },
  { path: '/setup/fabrics', component: admin('Fabrics') },
  { path: '/setup/fabrics/new', component: admin('NewFabric') },
  { path: '/setup/fabrics/:fabricId', component: admin('FabricPage') },
  { path: '/setup/resins', component: admin('Resins') },
  { path: '/setup/resins/new', component: admin('NewResin') },
  { path: '/setup/resins/:resinProductId', component: admin('ResinPage') },
  { path: '/setup/batches', component: admin('Batches') },
  { path: '/setup/tools', component: admin('Tools') },
  { path: '/setup/tools/:toolId', component: admin('ToolPage') },
  { path: '/setup/bins', component: admin('Bins') },
  { path: '/setup/benches', component: admin('Benches') },
  { path: '/setup/calendar', component: admin('CalendarPage') },
  { path: '/setup/routes', component: admin('RouteList') },
  { path: '/setup/routes/:socketKind/:suspension', component: admin('RoutePage') },
  { path: '/setup/layup-rules', component: admin('LayupRulesPage') },
];

export const PAGES: readonly Page[] = [
  ...NAMED,
  ...BENCH,
  ...ADMIN,
  {
    path: '/settings',
    component: later(() => import('./settings/Settings.tsx').then((page) => page.Settings)),
  },
  {
    path: '/history/:subjectKind/:subjectId',
    component: later(() => import('./audit/HistoryPage.tsx').then((page) => page.HistoryPage)),
  },
  // Not fetched when it is turned to: it is wanted when nothing can be fetched.
  { path: '/kept', component: Kept },
  {
    path: '/fittings/new',
    component: later(() => import('./book/BookingPage.tsx').then((page) => page.BookingPage)),
  },
  {
    path: '/password',
    component: later(() => import('./session/OwnPassword.tsx').then((page) => page.OwnPassword)),
  },
  {
    path: '/patients/:patientId',
    component: later(() => import('./rights/PatientPage.tsx').then((page) => page.PatientPage)),
  },
  {
    path: '/orders/:orderId',
    component: later(() => import('./desk/OrderPage.tsx').then((page) => page.OrderPage)),
  },
  {
    path: '/signatures/:signatureId',
    component: later(() => import('./signed/SignaturePage.tsx').then((page) => page.SignaturePage)),
  },
  {
    path: '/orders/:orderId/cast',
    component: later(() => import('./fitting/CastPage.tsx').then((page) => page.CastPage)),
  },
  {
    path: '/orders/:orderId/delivery',
    component: later(() => import('./fitting/DeliveryPage.tsx').then((page) => page.DeliveryPage)),
  },
  {
    path: '/sockets/:socketId/fit',
    component: later(() => import('./fitting/FitPage.tsx').then((page) => page.FitPage)),
  },
  {
    path: '/sockets/:socketId/layup',
    component: later(() => import('./fitting/LayupPage.tsx').then((page) => page.LayupPage)),
  },
];

/** @param byPin the bench's work only */
export const pagesFor = (person: Person | null | undefined, byPin = false): readonly NamedPage[] =>
  person == null
    ? []
    : NAMED.filter(({ path }) => !byPin || path === '/bench').filter(
        ({ roles }) => roles?.some((role) => person.roles.includes(role)) ?? true,
      );
