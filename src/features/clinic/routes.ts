import type { Api } from '../../http/api.ts';
import { ClinicChange, ClinicView } from './schemas.ts';
import { changeClinic, readClinic } from './service.ts';

export function clinicRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/clinic',
      name: 'readClinic',
      tag: 'Clinic',
      summary: 'The clinic and its settings',
      answer: ClinicView,
      versioned: true,
    },
    (act) => readClinic(act),
  );
  api.write(
    {
      method: 'PATCH',
      url: '/api/v1/clinic',
      name: 'changeClinic',
      tag: 'Clinic',
      summary: 'Change settings of the clinic',
      body: ClinicChange,
      answer: ClinicView,
      versioned: true,
    },
    (act, { body, expectedVersion }) => changeClinic(act, body, expectedVersion),
  );
}
