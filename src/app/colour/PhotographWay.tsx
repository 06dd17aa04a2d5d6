import { useMemo, useState } from 'react';
import { hexFromLinear } from '#engine/colour/colour.ts';
import { labFromHex } from '#engine/colour/colourNumbers.ts';
import { colourFromPhotograph, type Patch, type Photograph, type PhotographColour } from '#engine/colour/photograph.ts';
import { measuredByYou } from '#engine/yarn/ownYarnTypes.ts';
import type { ColourWayProps } from './colourWay.ts';
import { doubtWords } from './doubtWords.ts';
import { type PatchName, PhotographStage, patchTitles } from './PhotographStage.tsx';
import { patchAbout } from './patches.ts';
import { readPhotograph } from './readPhotograph.ts';

const cards = [
  { reflectance: 0.18, title: 'grey card, 18 %' },
  { reflectance: 0.9, title: 'white card, 90 %' },
] as const;

/** What provenance says of a colour read here. */
function photographedBeside(reflectance: number): string {
  const card = cards.find((each) => each.reflectance === reflectance) ?? cards[0];
  return `${measuredByYou}: photographed beside a ${card.title}`;
}

type Read = { readonly colour: PhotographColour } | { readonly trouble: string };

/** A cone photographed beside a card of known reflectance: the card takes the light's colour and strength away. */
export function PhotographWay({ onChange }: ColourWayProps) {
  const [photograph, setPhotograph] = useState<Photograph>();
  const [trouble, setTrouble] = useState('');
  const [patches, setPatches] = useState<Record<PatchName, Patch>>();
  const [marked, setMarked] = useState<readonly PatchName[]>([]);
  const [marking, setMarking] = useState<PatchName>('card');
  const [reflectance, setReflectance] = useState<number>(cards[0].reflectance);

  async function open(file: File | undefined) {
    if (!file) return;
    const read = await readPhotograph(file);
    setTrouble(read.ok ? '' : read.reason);
    if (!read.ok) return;
    const { width, height } = read.photograph;
    setPhotograph(read.photograph);
    setPatches({
      card: patchAbout(read.photograph, width * 0.25, height / 2),
      yarn: patchAbout(read.photograph, width * 0.75, height / 2),
    });
    setMarked([]);
    setMarking('card');
  }

  const read = useMemo((): Read | undefined => {
    if (!photograph || !patches || marked.length < 2) return undefined;
    try {
      return { colour: colourFromPhotograph(photograph, patches.card, patches.yarn, reflectance) };
    } catch (error) {
      return { trouble: error instanceof Error ? error.message : String(error) };
    }
  }, [photograph, patches, marked, reflectance]);

  const hex = read && 'colour' in read ? hexFromLinear(read.colour.reflectance) : undefined;
  return (
    <div className="photograph-way">
      <label>
        Photograph of a tightly wound cone beside a card
        <input
          type="file"
          accept="image/png,image/jpeg,image/webp"
          onChange={(event) => void open(event.target.files?.[0])}
        />
      </label>
      <p className="soft">
        It is read here and sent nowhere. Even light, no flash, the card beside the cone and facing alike.
      </p>
      {trouble !== '' && (
        <p className="trouble" role="alert">
          {trouble}
        </p>
      )}
      {photograph && patches && (
        <>
          <label>
            Card
            <select value={reflectance} onChange={(event) => setReflectance(Number(event.target.value))}>
              {cards.map(({ reflectance: share, title }) => (
                <option key={share} value={share}>
                  {title}
                </option>
              ))}
            </select>
          </label>
          <fieldset className="photograph-marking">
            <legend>Click or drag on the picture to mark</legend>
            {(['card', 'yarn'] as const).map((name) => (
              <label key={name}>
                <input type="radio" name="marking" checked={marking === name} onChange={() => setMarking(name)} />
                {patchTitles[name]}
              </label>
            ))}
          </fieldset>
          <PhotographStage
            photograph={photograph}
            patches={patches}
            marking={marking}
            onMark={(name, patch) => {
              setPatches({ ...patches, [name]: patch });
              setMarked((old) => (old.includes(name) ? old : [...old, name]));
            }}
            onMarked={() => {
              if (!marked.includes('yarn')) setMarking('yarn');
            }}
          />
          <div role="status" className="photograph-colour">
            {!read && <p className="soft">{`Mark ${marked.includes('card') ? 'the yarn' : 'the card'}.`}</p>}
            {read && 'trouble' in read && <p className="trouble">{read.trouble}</p>}
            {read && 'colour' in read && hex && (
              <>
                <p>
                  <span className="photograph-swatch" style={{ background: hex }} />
                  {`${hex}, L* a* b* ${labFromHex(hex)
                    .map((number) => number.toFixed(0))
                    .join(' ')} (D65)`}
                </p>
                {read.colour.doubts.map((doubt) => (
                  <p key={doubt.kind + ('patch' in doubt ? doubt.patch : '')} className="trouble">
                    {doubtWords(doubt)}
                  </p>
                ))}
              </>
            )}
          </div>
          {hex && (
            <button
              type="button"
              onClick={() => setTrouble(onChange(hex, false, photographedBeside(reflectance)) ?? '')}
            >
              Dye the yarn so
            </button>
          )}
          <p className="soft">
            It is the mean of the patch, shadows between threads included: mark a tightly wound cone, not a loose hank
            or a cloth.
          </p>
        </>
      )}
    </div>
  );
}
