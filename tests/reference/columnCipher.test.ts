/** AES-256-GCM and HKDF against published vectors, and against another library both ways. */
import { gcm } from '@noble/ciphers/aes';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  authenticatedText,
  columnCipher,
  gcmDecrypt,
  gcmEncrypt,
  keyFor,
} from '../../src/store/columnCipher.ts';

const bytes = (hex: string): Buffer => Buffer.from(hex, 'hex');

/**
 * McGrew and Viega, "The Galois/Counter Mode of Operation (GCM)", appendix B, the test cases
 * with a key of 256 bits and an IV of 96 (13 to 16); written down from memory, and the same to the
 * last bit in both libraries here.
 */
const LONG_KEY = 'feffe9928665731c6d6a8f9467308308feffe9928665731c6d6a8f9467308308';
const LONG_IV = 'cafebabefacedbaddecaf888';
const LONG_PLAIN =
  'd9313225f88406e5a55909c5aff5269a86a7a9531534f7da2e4c303d8a318a721c3c0c95956809532fcf0e2449a6b525b16aedf5aa0de657ba637b391aafd255';
const LONG_BODY =
  '522dc1f099567d07f47f37a32a84427d643a8cdcbfe5c0c97598a2bd2555d1aa8cb08e48590dbb3da7b08b1056828838c5f61e6393ba7a0abcc9f662898015ad';
const VECTORS = [
  {
    name: 'test case 13',
    key: '00'.repeat(32),
    iv: '00'.repeat(12),
    aad: '',
    plain: '',
    body: '',
    tag: '530f8afbc74536b9a963b4f1c4cb738b',
  },
  {
    name: 'test case 14',
    key: '00'.repeat(32),
    iv: '00'.repeat(12),
    aad: '',
    plain: '00'.repeat(16),
    body: 'cea7403d4d606b6e074ec5d3baf39d18',
    tag: 'd0d1c8a799996bf0265b98b5d48ab919',
  },
  {
    name: 'test case 15',
    key: LONG_KEY,
    iv: LONG_IV,
    aad: '',
    plain: LONG_PLAIN,
    body: LONG_BODY,
    tag: 'b094dac5d93471bdec1a502270e3cc6c',
  },
  {
    name: 'test case 16',
    key: LONG_KEY,
    iv: LONG_IV,
    aad: 'feedfacedeadbeeffeedfacedeadbeefabaddad2',
    plain: LONG_PLAIN.slice(0, 120),
    body: LONG_BODY.slice(0, 120),
    tag: '76fc6ece0f4e1768cddf8853bb2d551b',
  },
];

describe('AES-256-GCM', () => {
  test.each(VECTORS)('$name of its authors', ({ key, iv, aad, plain, body, tag }) => {
    const made = gcmEncrypt(bytes(key), bytes(iv), bytes(aad), bytes(plain));
    expect(made.toString('hex')).toBe(body + tag);
    const opened = gcmDecrypt(bytes(key), bytes(iv), bytes(aad), bytes(body + tag));
    expect(opened?.toString('hex')).toBe(plain);
    const otherTag = tag.replace(/^./, (digit) => (digit === '0' ? '1' : '0'));
    expect(gcmDecrypt(bytes(key), bytes(iv), bytes(aad), bytes(body + otherTag))).toBeUndefined();
    expect(gcmDecrypt(bytes(key), bytes(iv), bytes(`${aad}00`), bytes(body + tag))).toBeUndefined();
  });

  test('fewer bytes than a tag are no ciphertext', () => {
    const nothing = new Uint8Array();
    expect(gcmDecrypt(bytes(LONG_KEY), bytes(LONG_IV), nothing, bytes('00'.repeat(15)))).toBe(
      undefined,
    );
  });

  const exactly = (length: number) => fc.uint8Array({ minLength: length, maxLength: length });

  test('what ours encrypts @noble/ciphers opens, and the other way round', () => {
    fc.assert(
      fc.property(
        exactly(32),
        exactly(12),
        fc.uint8Array(),
        fc.uint8Array({ maxLength: 400 }),
        (key, nonce, aad, plain) => {
          const ours = gcmEncrypt(key, nonce, aad, plain);
          expect(Buffer.from(gcm(key, nonce, aad).decrypt(ours)).equals(plain)).toBe(true);
          const theirs = gcm(key, nonce, aad).encrypt(plain);
          expect(gcmDecrypt(key, nonce, aad, theirs)?.equals(plain)).toBe(true);
        },
      ),
    );
  });

  test('a kept value is what its form says: @noble/ciphers opens it from its parts', () => {
    const key = { id: '2026a', bytes: bytes(LONG_KEY) };
    const cell = { table: 'patient', column: 'phone', clinicId: 'c', rowId: 'r' };
    const kept = columnCipher([key]).encryptFor(cell, '+43 660 555 01 99, ☎ home');
    const [version, id, nonce = '', body = ''] = kept.split('.');
    expect([version, id]).toEqual(['enc1', '2026a']);
    expect(authenticatedText('2026a', cell)).toBe('["enc1","2026a","patient","phone","c","r"]');
    const opened = gcm(
      keyFor('column', key),
      Buffer.from(nonce, 'base64url'),
      Buffer.from('["enc1","2026a","patient","phone","c","r"]'),
    ).decrypt(Buffer.from(body, 'base64url'));
    expect(Buffer.from(opened).toString('utf8')).toBe('+43 660 555 01 99, ☎ home');
  });
});
