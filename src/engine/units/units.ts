/**
 * Flavoured numbers: a plain number may be given where a unit is expected, but one unit never passes for another.
 * Field and parameter names carry the unit as well (`spacingMm`, `tex`), since JSON and shaders have no types.
 */
type Flavour<Unit extends string> = number & { readonly __unit?: Unit };

export type Millimetres = Flavour<'mm'>;
/** Linear density, grams per kilometre. */
export type Tex = Flavour<'tex'>;
export type Newtons = Flavour<'N'>;
/** Bending stiffness B = moment / curvature, N mm². */
export type NewtonSquareMillimetres = Flavour<'N mm2'>;
export type GramsPerCubicCentimetre = Flavour<'g/cm3'>;
export type TurnsPerMetre = Flavour<'1/m'>;
export type Radians = Flavour<'rad'>;
export type PerCentimetre = Flavour<'1/cm'>;
