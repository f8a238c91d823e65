/** The set-up is fetched as one, by those alone who come to it; its English texts first. */
import './english.ts';

export { Batches } from './Batches.tsx';
export { Benches } from './Benches.tsx';
export { Bins } from './Bins.tsx';
export { CalendarPage } from './CalendarPage.tsx';
export { ClinicPage } from './ClinicPage.tsx';
export { Drafts } from './Drafts.tsx';
export { FabricPage, Fabrics, NewFabric } from './Fabrics.tsx';
export { LayupRulesPage } from './LayupRulesPage.tsx';
export { NewPart } from './NewPart.tsx';
export { PartPage } from './PartPage.tsx';
export { OpenIdPage } from './OpenIdPage.tsx';
export { Parts } from './Parts.tsx';
export { People } from './People.tsx';
export { PersonPage } from './PersonPage.tsx';
export { NewResin, ResinPage, Resins } from './Resins.tsx';
export { RouteList } from './RouteList.tsx';
export { RoutePage } from './RoutePage.tsx';
export { Setup } from './Setup.tsx';
export { ToolPage } from './ToolPage.tsx';
export { Tools } from './Tools.tsx';
