import { lazy, type ReactNode, Suspense, useMemo, useState } from 'react';
import { Button } from 'react-aria-components/Button';
import { GridList, GridListItem } from 'react-aria-components/GridList';
import { useStore } from 'zustand';
import type { ShelfYarn } from '#app/model/shelfYarns.ts';
import { useTable, useTableState } from '#app/model/tableContext.ts';
import { yarnDragType } from '#app/model/yarnDrag.ts';
import { formatNumber } from '#app/words/numbers.ts';
import { leftOnCard, leftWords } from '#app/yarn/leftWords.ts';
import { yarnNeeds } from '#app/yarn/yarnNeeds.ts';
import { bringIntoView, InView } from './InView.tsx';
import { Purpose } from './Purpose.tsx';
import { WoundCard } from './WoundCard.tsx';

const YarnDetails = lazy(() => import('./YarnDetails.tsx'));

export interface ShelfProps {
  readonly yarns: readonly ShelfYarn[];
  /** Undefined until fetched, which `onStock` asks for. */
  readonly stock: readonly ShelfYarn[] | undefined;
  readonly onStock: () => void;
  readonly chosenId: string | undefined;
  /** What a click or Enter on a yarn does now, as a sentence. */
  readonly useHint: string;
  readonly onUse: (yarn: ShelfYarn) => void;
  readonly onDetails: (id: string | undefined) => void;
  /** What else belongs above the yarns just now. */
  readonly children?: ReactNode;
  /** The way to a yarn that is neither there nor in stock. */
  readonly own?: ReactNode;
}

/** The yarns at hand as wound cards: those in this sample first, then the stock. */
export function Shelf({ yarns, stock, onStock, chosenId, useHint, onUse, onDetails, children, own }: ShelfProps) {
  const [sought, setSought] = useState('');
  const found = useMemo(() => (stock ?? []).filter((yarn) => matches(yarn, sought)), [stock, sought]);
  const chosen = yarns.find((yarn) => yarn.id === chosenId);
  return (
    <section className="shelf" aria-label="Yarns">
      <Purpose on="wide" />
      <h2>Yarns</h2>
      <p className="soft hint">{useHint}</p>
      {children}
      <YarnList label="Yarns in this sample" yarns={yarns} chosenId={chosenId} onUse={onUse} onDetails={onDetails} />
      {chosen && (
        <Suspense fallback={<p className="soft">Opening…</p>}>
          <InView key={chosen.id}>
            <YarnDetails yarn={chosen} onClose={() => onDetails(undefined)} />
          </InView>
        </Suspense>
      )}
      {own}
      <details
        className="stock"
        onToggle={(event) => {
          if (!event.currentTarget.open) return;
          onStock();
          bringIntoView(event.currentTarget);
        }}
      >
        <summary>In stock{stock ? ` (${formatNumber(stock.length)})` : ''}</summary>
        {stock ? (
          <>
            <input
              type="search"
              aria-label="Find a yarn by name, fibre or count"
              placeholder="Name, fibre, count"
              value={sought}
              onChange={(event) => setSought(event.target.value)}
            />
            <YarnList label="Yarns in stock" yarns={found} chosenId={undefined} onUse={onUse} />
          </>
        ) : (
          <p className="soft">Fetching…</p>
        )}
      </details>
    </section>
  );
}

interface YarnListProps {
  readonly label: string;
  readonly yarns: readonly ShelfYarn[];
  readonly chosenId: string | undefined;
  readonly onUse: (yarn: ShelfYarn) => void;
  readonly onDetails?: (id: string | undefined) => void;
}

function YarnList({ label, yarns, chosenId, onUse, onDetails }: YarnListProps) {
  return (
    <GridList
      aria-label={label}
      className="yarn-list"
      // Letters belong to the page's keys.
      disallowTypeAhead
      items={yarns}
      dependencies={[chosenId]}
      onAction={(key) => {
        const yarn = yarns.find((candidate) => candidate.id === key);
        if (yarn) onUse(yarn);
      }}
    >
      {(yarn) => (
        <GridListItem id={yarn.id} textValue={yarn.name} className="yarn-card">
          {/* biome-ignore lint/a11y/noStaticElementInteractions: begins drags only; Enter on the row does the same */}
          <div className="yarn-grip" draggable onDragStart={(event) => liftYarn(event.dataTransfer, yarn)}>
            <WoundCard yarn={yarn} />
            <span className="yarn-words">
              <span className="yarn-name">{yarn.name}</span>
              <span className="soft">{yarn.countText}</span>
              {yarn.card.left && <YarnLeft card={yarn.card} />}
            </span>
          </div>
          {onDetails && (
            <Button
              className="yarn-change"
              aria-label={`Change ${yarn.name}`}
              aria-expanded={yarn.id === chosenId}
              onPress={() => onDetails(yarn.id === chosenId ? undefined : yarn.id)}
            >
              Change
            </Button>
          )}
        </GridListItem>
      )}
    </GridList>
  );
}

/** How much of a yarn is left, and whether the sample on the table wants more. */
function YarnLeft({ card }: { readonly card: ShelfYarn['card'] }) {
  const { forecast } = useTable();
  const system = useTableState((state) => state.preferences.lengthSystem);
  const result = useStore(forecast.state, (state) => state.result);
  const cloth = useStore(forecast.state, (state) => state.resultCloth);
  const told = leftWords(card, yarnNeeds(cloth, result)?.get(card.id), system);
  return (
    <span className={told?.short ? 'trouble' : 'soft'}>
      {leftOnCard(card, system)}
      {told?.short && ', maybe too little'}
    </span>
  );
}

function liftYarn(transfer: DataTransfer, yarn: ShelfYarn): void {
  transfer.effectAllowed = 'copy';
  transfer.setData(yarnDragType, yarn.id);
  transfer.setData('text/plain', yarn.name);
}

/** Words that mean the same in the trade, UK and US spelling included; any finds what is labelled with another. */
const sameWords: readonly (readonly string[])[] = [
  ['viscose', 'rayon'],
  ['woollen', 'woolen'],
  ['mercerised', 'mercerized'],
  ['nylon', 'polyamide'],
  ['net', 'tulle'],
  ['metallised', 'metallized', 'metallic'],
];

/** Every word sought, or one that means the same, stands somewhere in the yarn's name, fibre or count. */
function matches(yarn: ShelfYarn, sought: string): boolean {
  const text = `${yarn.name} ${yarn.card.fibre} ${yarn.countText}`.toLowerCase();
  return sought
    .toLowerCase()
    .split(/\s+/)
    .every((asked) => (sameWords.find((same) => same.includes(asked)) ?? [asked]).some((each) => text.includes(each)));
}
