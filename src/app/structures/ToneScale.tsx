import { useEffect, useState } from 'react';
import { useStore } from 'zustand';
import { useTable } from '#app/model/tableContext.ts';
import { formatNumber } from '#app/words/numbers.ts';
import { liftsOf, warpedLoomOf } from '#document/warpedLoom.ts';
import { hexFromLinear, lightness } from '#engine/colour/colour.ts';
import { standingOn } from '#engine/weave/structures/onThisLoom.ts';
import { satinOfTone } from '#engine/weave/structures/satins.ts';
import { simple } from '#engine/weave/structures/structureTypes.ts';
import { finishInSlices } from './inSlices.ts';
import { bandFigures } from './trialStrip.ts';

export interface ToneScaleProps {
  readonly ends: number;
  readonly move: number;
  readonly weft: string;
}

interface Tone {
  readonly colour: string;
  readonly lightness: number;
}

/** Every tone of a satin in this warp and weft, from a forecast of each: the colour of the face from afar and its L*. */
export function ToneScale({ ends, move, weft }: ToneScaleProps) {
  const { samples } = useTable();
  const sample = useStore(samples.state, (state) => state.sample);
  const [tones, setTones] = useState<readonly Tone[]>([]);
  useEffect(() => {
    let wanted = true;
    setTones([]);
    void (async () => {
      const found: Tone[] = [];
      for (let up = 1; up < ends && wanted; up++) {
        const standing = standingOn(warpedLoomOf(sample), simple(satinOfTone(ends, move, up)));
        if (standing.kind === 'cannot') return;
        const repeat = liftsOf(standing).map((lift) => ({ lift, strands: [weft] }));
        const { mixed } = await finishInSlices(bandFigures(sample, { weft, weave: `${up}/${ends - up}`, repeat }));
        found.push({ colour: hexFromLinear(mixed), lightness: lightness(mixed) });
        if (wanted) setTones([...found]);
      }
      // A tone that no cloth can be woven in leaves the scale as far as it got.
    })().catch(() => undefined);
    return () => {
      wanted = false;
    };
  }, [sample, ends, move, weft]);
  return (
    <ol className="tone-scale" aria-label={`Tones in ${sample.yarns[weft]?.name ?? weft}`}>
      {tones.map((tone, k) => (
        <li key={`${k + 1}`}>
          <span className="band-colour" style={{ background: tone.colour }} />
          {`${k + 1}/${ends - k - 1}: L* ${formatNumber(tone.lightness)}`}
        </li>
      ))}
    </ol>
  );
}
