import { z } from 'zod';
import type { Api } from '../../http/api.ts';
import { idOf } from '../../http/fields.ts';
import { listFabrics, loadFabric } from '../../store/fabrics.ts';
import { FabricChange, Fabrics, FabricsQuery, FabricToAdd, FabricView } from './schemas.ts';
import { addFabric, changeFabric } from './service.ts';

const params = z.strictObject({ fabricId: idOf('Fabric') });
const tag = 'Layup';

export function fabricRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/fabrics',
      name: 'listFabrics',
      tag,
      summary: 'Fabrics of the catalogue by material, those in use or every one',
      query: FabricsQuery,
      answer: Fabrics,
    },
    async (act, { query }) => ({ items: await listFabrics(act, query.every === 'true') }),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/fabrics',
      name: 'addFabric',
      tag,
      summary: 'Enter a fabric as its sheet has it',
      body: FabricToAdd,
      answer: FabricView,
      versioned: true,
    },
    (act, { body }) => addFabric(act, body),
  );
  api.read(
    {
      url: '/api/v1/fabrics/:fabricId',
      name: 'readFabric',
      tag,
      summary: 'One fabric',
      params,
      answer: FabricView,
      versioned: true,
    },
    (act, { params: { fabricId } }) => loadFabric(act, fabricId),
  );
  api.write(
    {
      method: 'PATCH',
      url: '/api/v1/fabrics/:fabricId',
      name: 'changeFabric',
      tag,
      summary: 'Change the sheet of a fabric, or withdraw it',
      description:
        'Its form stays. Layups drafted before keep the sheet that they were worked out from; a draft that waits for its signature is to be drafted anew.',
      params,
      body: FabricChange,
      answer: FabricView,
      versioned: true,
    },
    (act, { params: { fabricId }, body, expectedVersion }) =>
      changeFabric(act, fabricId, body, expectedVersion),
  );
}
