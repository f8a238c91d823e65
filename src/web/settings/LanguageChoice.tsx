/** The language of the pages: chosen here, kept in the browser. Each language is named in its own words. */
import { useState } from 'preact/hooks';
import { chooseLanguage } from '../words/choices.ts';
import { language, LANGUAGES, words, type Language } from '../words/words.ts';

export function LanguageChoice() {
  const { settings: say } = words.value;
  const [failed, setFailed] = useState(false);
  const choose = (wanted: Language): void => {
    setFailed(false);
    chooseLanguage(wanted).catch(() => setFailed(true));
  };
  return (
    <fieldset>
      <legend>{say.language}</legend>
      <div class="choices">
        {(Object.entries(LANGUAGES) as [Language, string][]).map(([each, name]) => (
          <label key={each} lang={each}>
            <input
              type="radio"
              name="language"
              value={each}
              checked={language.value === each}
              onChange={() => choose(each)}
            />
            {name}
          </label>
        ))}
      </div>
      {failed && (
        <p class="stands-against" role="alert">
          {say.languageFailed}
        </p>
      )}
    </fieldset>
  );
}
