import { z } from 'zod';
import type { Api } from '../../http/api.ts';
import { idOf } from '../../http/fields.ts';
import { addPart } from './enter.ts';
import {
  PartChange,
  PartPage,
  PartQuery,
  PartToAdd,
  PartView,
  TorqueSettingAdded,
  TorqueSettingToAdd,
} from './schemas.ts';
import { addTorqueSetting, changePart, findParts, readPart } from './service.ts';

const params = z.strictObject({ partId: idOf('Part') });

export function catalogueRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/parts',
      name: 'listParts',
      tag: 'Catalogue',
      summary: 'Parts by catalogue number',
      query: PartQuery,
      answer: PartPage,
    },
    (act, { query }) => findParts(act, query),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/parts',
      name: 'addPart',
      tag: 'Catalogue',
      summary: 'Enter a part',
      description:
        'By issuer and device identifier a scanned label is known (C9); a draft that waits for that device becomes this part.',
      body: PartToAdd,
      answer: PartView,
      versioned: true,
    },
    (act, { body }) => addPart(act, body),
  );
  api.read(
    {
      url: '/api/v1/parts/:partId',
      name: 'readPart',
      tag: 'Catalogue',
      summary: 'One part with its torque settings',
      params,
      answer: PartView,
      versioned: true,
    },
    (act, { params: { partId } }) => readPart(act, partId),
  );
  api.write(
    {
      method: 'PATCH',
      url: '/api/v1/parts/:partId',
      name: 'changePart',
      tag: 'Catalogue',
      summary: 'Change the entry of a part, or withdraw it',
      params,
      body: PartChange,
      answer: PartView,
      versioned: true,
    },
    (act, { params: { partId }, body, expectedVersion }) =>
      changePart(act, partId, body, expectedVersion),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/parts/:partId/torque-settings',
      name: 'addTorqueSetting',
      tag: 'Catalogue',
      summary: "Enter the maker's torque setting for a joint",
      description:
        'Typed in N·m, lbf·in or lbf·ft, kept in N·m. Refused where the fastener could not carry it (R5). The setting in force before is superseded and kept.',
      params,
      body: TorqueSettingToAdd,
      answer: TorqueSettingAdded,
    },
    (act, { params: { partId }, body }) => addTorqueSetting(act, partId, body),
  );
}
