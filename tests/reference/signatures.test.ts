/** Ed25519 keys and their ids against the published examples. */
import { createPrivateKey, createPublicKey } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import { spkiOf, thumbprintText } from '../../src/domain/signedHeads.ts';
import { headSigner, keyIdOf, publicKeyPem } from '../../src/features/record/signer.ts';
import { NODE_MEANS } from '../../scripts/verify-export.ts';

/** A PKCS #8 wrapping of a raw Ed25519 seed (RFC 8410, section 7). */
const privateKey = (seedHex: string) =>
  createPrivateKey({
    key: Buffer.from(`302e020100300506032b657004220420${seedHex}`, 'hex'),
    format: 'der',
    type: 'pkcs8',
  });

/** RFC 8032, 7.1: tests 1 and 2; the message of test 2 is the one byte 0x72, "r". */
const RFC8032 = [
  {
    seed: '9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60',
    key: 'd75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a',
    message: '',
    signature:
      'e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b',
  },
  {
    seed: '4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb',
    key: '3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c',
    message: 'r',
    signature:
      '92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00',
  },
];

describe('Ed25519', () => {
  test.each(RFC8032)('signs "$message" as RFC 8032 has it, and verifies it', (vector) => {
    const signer = headSigner(privateKey(vector.seed));
    expect(Buffer.from(signer.publicKey, 'base64url').toString('hex')).toBe(vector.key);
    const signature = signer.sign(vector.message);
    expect(Buffer.from(signature, 'base64').toString('hex')).toBe(vector.signature);
    expect(NODE_MEANS.verifies(signer.publicKey, vector.message, signature)).toBe(true);
    expect(NODE_MEANS.verifies(signer.publicKey, `${vector.message} `, signature)).toBe(false);
  });

  test('a key’s id is the thumbprint that RFC 8037, A.3 gives the first of them', () => {
    const x = '11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo';
    expect(thumbprintText(x)).toBe(`{"crv":"Ed25519","kty":"OKP","x":"${x}"}`);
    expect(keyIdOf(x)).toBe('kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k');
  });

  test('a public key is handed out as OpenSSL reads it', () => {
    const signer = headSigner(privateKey(RFC8032[0]!.seed));
    const key = createPublicKey(publicKeyPem(signer.publicKey));
    expect(key.export({ format: 'jwk' })).toMatchObject({ crv: 'Ed25519', x: signer.publicKey });
    const der = key.export({ format: 'der', type: 'spki' });
    expect(Buffer.from(spkiOf(Buffer.from(signer.publicKey, 'base64url')))).toEqual(der);
  });
});
