/** What the page is for, in a line for whoever sees it first. */
export function Purpose() {
  return (
    <p className="purpose">
      <strong>Forecloth</strong>: see the cloth that this loom, these yarns and your beat will make, before you weave
      it.
    </p>
  );
}
