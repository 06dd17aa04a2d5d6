/** What every way of picking a colour is given. */
export interface ColourWayProps {
  /** #rrggbb, as on the cone. */
  readonly value: string;
  /**
   * Takes a colour; returns why it is refused, or undefined.
   * @param dragging more will follow: all of them are one undo step
   * @param from how it was come by, where it was measured and not only chosen
   */
  readonly onChange: (hex: string, dragging: boolean, from?: string) => string | undefined;
}
