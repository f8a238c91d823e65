/**
 * A signed act (21 CFR 11.50, 11.70, 11.200): what is typed, then exactly what would be
 * signed as the service has it, then the password for this very act. The hash of what was
 * shown goes with it; where something else stands by then, nothing is signed and that is shown.
 */
import type { ComponentChildren } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import { Problem, type Schemas } from '../api.ts';
import { offline } from '../offline/reach.ts';
import { words } from '../words/words.ts';
import { TextField } from './fields.tsx';
import { ActForm, type Sending } from './form.tsx';
import { SignByOrganisation, type OrganisationsWord } from './signByOrganisation.tsx';
import { SignedContent } from './signedContent.tsx';

type ToSign = Schemas['ToSign'];
export type Signature = Schemas['SignatureGivenInput'];

export function SignedForm<Body extends object>({
  act,
  body,
  ask,
  sign,
  children = () => null,
}: {
  /** The words of the button that signs. */
  readonly act: string;
  /** All that is sent but the signature. */
  readonly body: Body;
  readonly ask: (body: Body) => Promise<ToSign>;
  /** @param key the Idempotency-Key of this act */
  readonly sign: (key: string, body: Body, signature: Signature) => Promise<unknown>;
  readonly children?: (sending: Sending) => ComponentChildren;
}) {
  const { signing: say } = words.value;
  const [shown, setShown] = useState<{ readonly toSign: ToSign; readonly of: string }>();
  const [changed, setChanged] = useState(false);
  const [password, setPassword] = useState('');
  const [word, setWord] = useState<OrganisationsWord | null>(null);
  const typed = JSON.stringify(body);
  // Whoever types on has not seen that yet.
  const seen = shown?.of === typed ? shown.toSign : undefined;
  const show = async (): Promise<void> => setShown({ toSign: await ask(body), of: typed });
  const send = async (key: string): Promise<void> => {
    setChanged(false);
    if (seen === undefined) return show();
    try {
      const proof = word === null ? { password } : { organisation: word };
      await sign(key, body, { ...proof, contentSha256: seen.contentSha256 });
    } catch (refused) {
      if (refused instanceof Problem && refused.code === 'signed-content-changed') {
        await show();
        setChanged(true);
      }
      throw refused;
    } finally {
      // A password is typed for one act, also where it was refused.
      setPassword('');
      setWord(null);
    }
  };
  return (
    <ActForm act={seen === undefined ? say.show : act} send={send}>
      {(sending) => (
        <>
          {children(sending)}
          {seen === undefined ? (
            <p class="hint">{say.showHint}</p>
          ) : (
            <Shown
              toSign={seen}
              changed={changed}
              password={password}
              onType={setPassword}
              word={word}
              onWord={setWord}
              against={sending.against('/signature/password')}
            />
          )}
        </>
      )}
    </ActForm>
  );
}

function Shown({
  toSign: { meaning, printedName, content, contentSha256 },
  changed,
  password,
  onType,
  word,
  onWord,
  against,
}: {
  readonly toSign: ToSign;
  /** It was shown before, and stood otherwise. */
  readonly changed: boolean;
  readonly password: string;
  readonly onType: (password: string) => void;
  readonly word: OrganisationsWord | null;
  readonly onWord: (word: OrganisationsWord) => void;
  readonly against: string | undefined;
}) {
  const { signing: say } = words.value;
  const title = useRef<HTMLHeadingElement>(null);
  useEffect(() => title.current?.focus(), [contentSha256]);
  return (
    <section class="signing" aria-label={say.title}>
      <h2 tabIndex={-1} ref={title}>
        {say.title}
      </h2>
      {changed && <p class="stands-against">{say.changed}</p>}
      <SignedContent content={content} />
      <p class="hint">
        {say.rounded} {say.fingerprint}: <code>{contentSha256}</code>
      </p>
      <p>
        <strong>{printedName}</strong>: {say.meanings[meaning]}
      </p>
      {offline.value && (
        <p class="caution" role="status">
          {words.value.offline.signing}
        </p>
      )}
      {word === null && (
        <TextField
          label={say.password}
          hint={say.hint}
          type="password"
          autocomplete="current-password"
          value={password}
          against={against}
          onInput={({ currentTarget }) => onType(currentTarget.value)}
        />
      )}
      <SignByOrganisation word={word} onWord={onWord} />
    </section>
  );
}
