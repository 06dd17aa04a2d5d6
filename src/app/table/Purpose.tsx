import { useNarrow } from '#app/model/narrow.ts';

/**
 * What the page is for, in a line for whoever sees it first: above the yarns of a wide window, above everything of a
 * narrow one, where the yarns lie far below.
 */
export function Purpose({ on }: { readonly on: 'wide' | 'narrow' }) {
  const narrow = useNarrow();
  if (narrow !== (on === 'narrow')) return null;
  const words = (
    <p className="purpose">
      <strong>Forecloth</strong>: see the cloth that this loom, these yarns and your beat will make, before you weave
      it.
    </p>
  );
  return on === 'narrow' ? <header className="purpose-above">{words}</header> : words;
}
