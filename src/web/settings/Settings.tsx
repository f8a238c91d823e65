/** The language and the units in which a person reads and types: for this browser. */
import { Choices } from '../parts/fields.tsx';
import { Sheet } from '../parts/sheet.tsx';
import { chooseUnits } from '../words/choices.ts';
import { units } from '../words/units.ts';
import { words } from '../words/words.ts';
import { LanguageChoice } from './LanguageChoice.tsx';

export function Settings() {
  const { settings: say } = words.value;
  const { length, mass, torque } = units.value;
  return (
    <Sheet title={say.title}>
      <LanguageChoice />
      <p class="hint">{say.notTranslated}</p>
      <Choices
        label={say.length}
        hint={say.lengthHint}
        name="length"
        of={say.lengths}
        value={length}
        onChoose={(chosen) => chooseUnits({ length: chosen })}
      />
      <Choices
        label={say.mass}
        name="mass"
        of={say.masses}
        value={mass}
        onChoose={(chosen) => chooseUnits({ mass: chosen })}
      />
      <Choices
        label={say.torque}
        name="torque"
        of={say.torques}
        value={torque}
        onChoose={(chosen) => chooseUnits({ torque: chosen })}
      />
      <p class="hint">{say.kept}</p>
    </Sheet>
  );
}
