import { z } from 'zod';
import type { Api } from '../../http/api.ts';
import { idOf } from '../../http/fields.ts';
import {
  CalibrationToAdd,
  ServiceWhy,
  ShopToolPage,
  ShopToolQuery,
  ShopToolToAdd,
  ShopToolView,
} from './schemas.ts';
import { addCalibration, addShopTool, findShopTools, readShopTool, setService } from './service.ts';

const params = z.strictObject({ toolId: idOf('Tool') });

export function shopToolRoutes(api: Api): void {
  api.read(
    {
      url: '/api/v1/shop-tools',
      name: 'listShopTools',
      tag: 'Catalogue',
      summary: 'Shop tools by name, where they are, when calibration is due',
      query: ShopToolQuery,
      answer: ShopToolPage,
    },
    (act, { query }) => findShopTools(act, query),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/shop-tools',
      name: 'addShopTool',
      tag: 'Catalogue',
      summary: 'Enter a shop tool and receive it into a bin',
      body: ShopToolToAdd,
      answer: ShopToolView,
      versioned: true,
    },
    (act, { body }) => addShopTool(act, body),
  );
  api.read(
    {
      url: '/api/v1/shop-tools/:toolId',
      name: 'readShopTool',
      tag: 'Catalogue',
      summary: 'One shop tool',
      params,
      answer: ShopToolView,
      versioned: true,
    },
    (act, { params: { toolId } }) => readShopTool(act, toolId),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/shop-tools/:toolId/calibrations',
      name: 'addCalibration',
      tag: 'Catalogue',
      summary: "Enter a torque tool's certificate of calibration",
      params,
      body: CalibrationToAdd,
      answer: ShopToolView,
      versioned: true,
    },
    (act, { params: { toolId }, body }) => addCalibration(act, toolId, body),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/shop-tools/:toolId/out-of-service',
      name: 'takeOutOfService',
      tag: 'Catalogue',
      summary: 'Take a shop tool out of service: it proves nothing from now on (R4)',
      params,
      body: ServiceWhy,
      answer: ShopToolView,
      status: 200,
      versioned: true,
    },
    (act, { params: { toolId }, body }) => setService(act, toolId, true, body.why),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/shop-tools/:toolId/back-in-service',
      name: 'putBackInService',
      tag: 'Catalogue',
      summary: 'Put a shop tool back in service, with the reason',
      params,
      body: ServiceWhy,
      answer: ShopToolView,
      status: 200,
      versioned: true,
    },
    (act, { params: { toolId }, body }) => setService(act, toolId, false, body.why),
  );
}
