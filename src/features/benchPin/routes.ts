import { hashPin, signInByPin } from '../../access/benchPin.ts';
import type { AccessTokens } from '../../access/tokens.ts';
import { deviceOf } from '../../domain/devices.ts';
import type { Api } from '../../http/api.ts';
import { Tokens } from '../people/schemas.ts';
import { pairOf } from '../people/tokens.ts';
import { BenchPinView, SetBenchPin, SignInByPin, TakeOffBenchPin } from './schemas.ts';
import { refuseEasyPin, setBenchPin, takeOffBenchPin } from './service.ts';

export function benchPinRoutes(api: Api, tokens: AccessTokens): void {
  api.open(
    {
      method: 'POST',
      url: '/api/v1/sign-in/pin',
      name: 'signInByPin',
      tag: 'Sign-in',
      summary: 'Unlock a bench device by PIN',
      description:
        'For the bench’s work only, as long as the PIN is good. Five wrong PINs end it on this device; the account is not locked. What needs a signature needs a full sign-in.',
      body: SignInByPin,
      answer: Tokens,
      limit: 'sign-in',
    },
    async ({ body, userAgent, at }) => {
      const given = { ...body, device: deviceOf(userAgent) };
      return pairOf(tokens, await signInByPin(api.store, given, at), at);
    },
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/me/bench-pin',
      name: 'setBenchPin',
      tag: 'Sign-in',
      summary: 'Set a short PIN for this bench device',
      description:
        'After a full sign-in on it: six figures that unlock this device for the hours that the clinic says, counted from the sign-in. Ends with the password, the role or the sign-in that it came from.',
      body: SetBenchPin,
      answer: BenchPinView,
      prepare: ({ body }) => {
        refuseEasyPin(body.pin);
        return hashPin(body.pin, body.deviceSecret);
      },
    },
    (act, { body, caller, prepared }) => setBenchPin(act, caller, body.deviceSecret, prepared),
  );
  api.write(
    {
      method: 'POST',
      url: '/api/v1/me/bench-pin/removal',
      name: 'takeOffBenchPin',
      tag: 'Sign-in',
      summary: 'Take my PIN off this bench device',
      body: TakeOffBenchPin,
    },
    (act, { body }) => takeOffBenchPin(act, body.deviceSecret),
  );
}
