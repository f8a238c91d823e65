import type { Schemas } from '../api.ts';

/** A patient's rights sheet as the service answers it. */
export type Rights = Schemas['PatientRights'];
