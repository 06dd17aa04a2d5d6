import { NumberField } from '#app/after/NumberField.tsx';
import { useTableState } from '#app/model/tableContext.ts';
import { TextField } from '#app/plan/TextField.tsx';
import { Choice } from '#app/table/Choice.tsx';
import { formatNumber, quantity } from '#app/words/numbers.ts';
import { type Sley, settOf, sleyFor, sleysNear } from '#document/sampleOnWarp.ts';
import { MOST_ENDS } from '#document/schema/fields.ts';
import type { LoomCard } from '#document/schema/loomSchema.ts';
import { ASHENHURST_K, maximumSettPerCm } from '#engine/weave/sett.ts';
import type { YarnsAtHand } from './useYarnsAtHand.ts';
import { YarnChoice } from './YarnChoice.tsx';

/** A warp of one's own as it is chosen; yarns by their ids, the second laid end by end with the first. */
export interface OwnWarpForm {
  readonly yarnId: string;
  readonly secondId: string;
  readonly ends: number;
  readonly endsPerCm: number;
  /** Chosen among those near the sett; undefined: the nearest with one number of ends in every dent. */
  readonly reed?: Sley;
  /** As it is written; undefined: straight over all shafts. */
  readonly draw?: string;
}

/** As many ways to sley it as a short list holds. */
const MOST_SLEYS = 6;

const sleyKey = ({ dentsPerCm, endsPerDent }: Sley) => `${dentsPerCm} dents, ${endsPerDent}`;

/** Of plain weave: each end meets a pick as often as it passes one. */
const PLAIN = { R: 2, I: 2 };

/** What a loom is to be dressed with. */
export function OwnWarpFields(props: {
  readonly loom: LoomCard;
  readonly yarns: YarnsAtHand;
  readonly warp: OwnWarpForm;
  onChange(change: Partial<OwnWarpForm>): void;
}) {
  const { loom, yarns, warp, onChange } = props;
  const system = useTableState((state) => state.preferences.lengthSystem);
  const reed = warp.reed ?? sleyFor(warp.endsPerCm, loom.reedsDentsPerCm);
  const inches = system === 'inch';
  const perUnit = inches ? 2.54 : 1;
  const sett = settOf(reed);
  const near = sleysNear(warp.endsPerCm, loom.reedsDentsPerCm, MOST_SLEYS);
  const sleys = near.some((each) => sleyKey(each) === sleyKey(reed)) ? near : [reed, ...near];
  const sleyWords = (each: Sley) =>
    `${formatNumber(settOf(each) * perUnit, 1)}: ${formatNumber(each.dentsPerCm * perUnit, 1)} dents, ${each.endsPerDent} in ${typeof each.endsPerDent === 'number' ? 'each' : 'turn'}`;
  const width = quantity((10 * warp.ends) / sett, 'length', system);
  const yarn = yarns.byId.get(warp.yarnId);
  const full = yarn && (100 * sett) / maximumSettPerCm(yarn.tex, ASHENHURST_K.firm, PLAIN);
  return (
    <div className="begin-own">
      <YarnChoice
        name="Warp yarn"
        own={yarns.own}
        stock={yarns.stock}
        value={warp.yarnId}
        onChoose={(yarnId) => onChange({ yarnId })}
      />
      <YarnChoice
        name="one and one with"
        own={yarns.own}
        stock={yarns.stock}
        value={warp.secondId}
        none="no other yarn"
        onChoose={(secondId) => onChange({ secondId })}
      />
      <NumberField
        name="Ends"
        value={warp.ends}
        least={2}
        most={MOST_ENDS}
        onChange={(ends) => ends && onChange({ ends: Math.round(ends) })}
      />
      <NumberField
        name={inches ? 'Ends to the inch' : 'Ends to the cm'}
        value={warp.endsPerCm * perUnit}
        least={0.5}
        most={200}
        onChange={(value) => value && onChange({ endsPerCm: value / perUnit, reed: undefined })}
      />
      <Choice
        name="as sleyed"
        value={sleyKey(reed)}
        options={sleys.map((each) => [sleyKey(each), sleyWords(each)] as const)}
        onChoose={(key) => onChange({ reed: sleys.find((each) => sleyKey(each) === key) })}
      />
      <TextField
        name="Drawn in (threading)"
        value={warp.draw ?? `1-${loom.shafts}`}
        wide
        onTake={(draw) => {
          onChange({ draw });
          return true;
        }}
      />
      <p className="soft">
        {`${width.text} ${width.unit} in the reed` +
          (full
            ? `; ${formatNumber(full)} % of the most that plain weave takes of this yarn by Ashenhurst's rule${full > 100 ? ': too close for plain weave; woven as double cloth, each layer has half of these ends' : ''}`
            : '') +
          '. The draw, such as 1-8, point 8, or 1-4 x6, 5-8 x6 for two blocks, begins again until the ends run out; structures and blocks can thread it anew.'}
      </p>
    </div>
  );
}
