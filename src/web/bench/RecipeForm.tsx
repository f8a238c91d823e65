/** Works out the resin: which product, how much pigment, how warm it is. */
import { useQuery } from '@tanstack/preact-query';
import { answered, api } from '../api.ts';
import { once, useReadAgain } from '../parts/act.ts';
import { TextField } from '../parts/fields.tsx';
import { ActForm } from '../parts/form.tsx';
import { words } from '../words/words.ts';
import { useDraft } from './draft.ts';
import { figureTyped } from './figures.ts';
import { SelectField } from '../parts/selectField.tsx';

interface Typed {
  /** Empty until it is chosen. */
  readonly productId: string;
  readonly pigmentPercent: string;
  readonly shopTemperatureC: string;
}

export function RecipeForm({
  socketId,
  again,
}: {
  readonly socketId: string;
  /** There is one already; the new one supersedes it. */
  readonly again: boolean;
}) {
  const { bench: say } = words.value;
  const readAgain = useReadAgain();
  const { data } = useQuery({
    queryKey: ['resin-products'],
    queryFn: () =>
      answered(api.GET('/api/v1/resin-products', { params: { query: { active: 'true' } } })),
  });
  const { typed, change, done } = useDraft<Typed>(`recipe.${socketId}`, {
    productId: '',
    pigmentPercent: '0',
    shopTemperatureC: '',
  });
  const products = data?.items ?? [];
  // Where the clinic has one, it is that one.
  const productId =
    typed.productId === '' && products.length === 1 ? (products[0]?.id ?? '') : typed.productId;
  const { pigmentPercent, shopTemperatureC } = typed;
  return (
    <details open={!again}>
      <summary>{again ? say.recipeAgain : say.recipeMake}</summary>
      <ActForm
        act={say.recipeAct}
        send={async (key) => {
          await answered(
            api.POST('/api/v1/sockets/{socketId}/resin-recipes', {
              params: { path: { socketId }, header: once(key) },
              // What is not typed is left out, and the service says which figure it wants.
              body: {
                ...(productId === '' ? {} : { productId }),
                pigmentPercent: figureTyped(pigmentPercent),
                shopTemperatureC: figureTyped(shopTemperatureC),
              } as { productId: string; pigmentPercent: number; shopTemperatureC: number },
            }),
          );
          done();
          await readAgain();
        }}
      >
        {({ against }) => (
          <>
            <SelectField
              label={say.product}
              of={[['', say.choose], ...products.map(({ id, name }) => [id, name] as const)]}
              value={productId}
              against={against('/productId')}
              onChoose={(chosen) => change({ ...typed, productId: chosen })}
            />
            <TextField
              label={say.pigmentPercent}
              hint={say.pigmentHint}
              inputMode="decimal"
              value={pigmentPercent}
              against={against('/pigmentPercent')}
              onInput={({ currentTarget }) =>
                change({ ...typed, pigmentPercent: currentTarget.value })
              }
            />
            <TextField
              label={say.temperature}
              hint={say.temperatureHint}
              inputMode="decimal"
              value={shopTemperatureC}
              against={against('/shopTemperatureC')}
              onInput={({ currentTarget }) =>
                change({ ...typed, shopTemperatureC: currentTarget.value })
              }
            />
          </>
        )}
      </ActForm>
    </details>
  );
}
