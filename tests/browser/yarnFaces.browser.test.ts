import { beforeAll, describe, expect, test } from 'vitest';
import { linearFromHex } from '#engine/colour/colour.ts';
import { colourAlong } from '#engine/yarn/colourRepeat.ts';
import { colourAt, faceAt, faceTexel, texelOf, windingAt } from '#tests/helpers/yarnFacesTwin.ts';
import { runYarnProbe, type YarnPlace } from '#tests/helpers/yarnProbe.ts';
import { placeOn, placesOn, type YarnsOfShelf, yarnsOfShelf } from '#tests/helpers/yarnScenes.ts';

const SEED = 40_127;
const YARNS = [
  'cotton-marl-8-2',
  'wool-heather-2ply',
  'cotton-space-dyed-8-2',
  'satin-cloth-strip-8',
  'holo-card-strip-5',
  'painted-net-strip-25',
  'cotton-chenille-8',
  'chenille-stem-6',
  'mohair-loop',
  'cotton-8-2',
  'print-strip-10',
] as const;
const [MARL, HEATHER, DYED, SATIN, CARD, NET, CHENILLE, STEM, , , PRINT] = YARNS.keys();

/** Colour, and texel of the face that shows. */
const MAIN = `
  int texel = strandTexel(s, header);
  float winding = windingAt(s, header.z);
  outValue = vec4(faceColour(s, texel, winding, max(1.0, header.y), header.z, pixelMm), float(texel));`;

let shelf: YarnsOfShelf;
beforeAll(async () => {
  shelf = await yarnsOfShelf(YARNS);
});

const shown = (places: readonly YarnPlace[]): Float32Array => runYarnProbe(shelf.cloth, places, MAIN);
const colour = (got: Float32Array, k: number): number[] => [...got.subarray(k * 4, k * 4 + 3)];
const faceOf = (got: Float32Array, k: number, { material }: YarnPlace): number =>
  (got[k * 4 + 3] - material * 256 - faceTexel(0)) / (faceTexel(1) - faceTexel(0));
const apart = (a: readonly number[], b: readonly number[]): number => Math.max(...a.map((x, c) => Math.abs(x - b[c])));

/** Colours as the scattering functions take them, by stop. */
function stopsOf(yarn: number): { colour: number[]; from: number }[] {
  const material = shelf.materialOf(yarn);
  const [, first, count] = texelOf(shelf.cloth, material, faceTexel(0) + 5);
  return Array.from({ length: count }, (_, k) => {
    const [r, g, b, from] = texelOf(shelf.cloth, material, first + k);
    return { colour: [r, g, b], from };
  });
}

/** Of places, the share with each of a yarn's colours. */
function sharesOf(yarn: number, got: Float32Array): number[] {
  const stops = stopsOf(yarn);
  const counts = stops.map(() => 0);
  const places = got.length / 4;
  for (let k = 0; k < places; k++) {
    const nearest = stops.findIndex((stop) => apart(stop.colour, colour(got, k)) < 1e-4);
    expect(nearest, `place ${k} has none of the yarn's colours: ${colour(got, k)}`).toBeGreaterThanOrEqual(0);
    counts[nearest]++;
  }
  return counts.map((count) => count / places);
}

describe(`which of a thread's faces shows, and in which colour, seed ${SEED}`, () => {
  test('is the TypeScript twin: plies, fibres, lengths, backs, cores, paint and glitter, near and far', () => {
    const swells = [0.08, 0.9, 1, 1.5, 2];
    const places = YARNS.flatMap((_, yarn) =>
      [0.002, 0.05, 0.4].flatMap((pixelMm, far) =>
        placesOn(shelf, yarn, 120, 60, pixelMm, SEED + 10 * yarn + far).map((place, k) => ({
          ...place,
          swell: Math.fround(swells[k % swells.length]),
        })),
      ),
    );
    const got = shown(places);
    let other = 0;
    const faces = new Set<string>();
    places.forEach((place, k) => {
      const face = faceAt(shelf.cloth, place);
      faces.add(`${place.material} ${face}`);
      const wanted = colourAt(shelf.cloth, place, face);
      if (faceOf(got, k, place) !== face || apart(colour(got, k), wanted) > 1e-3) other++;
    });
    // On the line between two colours single precision may take the other.
    expect(other / places.length).toBeLessThan(0.003);
    // Backs, cores, paint and glitter are among what was met.
    expect(faces.size).toBeGreaterThan(YARNS.length + 4);
  });

  test('of two plies each shows on half, along a helix of the twist', () => {
    const places = placesOn(shelf, MARL, 4000, 200, 0.002, SEED);
    const got = shown(places);
    for (const share of sharesOf(MARL, got)) expect(Math.abs(share - 0.5)).toBeLessThan(3 * Math.sqrt(0.25 / 4000));
    // Along the yarn by a part of a turn and round it by as much it is the same ply.
    const turnsPerMm = texelOf(shelf.cloth, shelf.materialOf(MARL), 0)[2];
    const along = places.map((place, k) => {
      const stepMm = (k % 50) / 100;
      const around = place.around + 2 * Math.PI * turnsPerMm * stepMm;
      return { ...place, alongMm: place.alongMm + stepMm, around };
    });
    const moved = shown(along);
    const other = places.filter((_, k) => apart(colour(got, k), colour(moved, k)) > 1e-3).length;
    expect(other / places.length).toBeLessThan(0.003);
  });

  test('carded fibres show by their shares', () => {
    const blend = shelf.records[HEATHER].blend!;
    // Bundles, not places, fall by chance: some 14 round the yarn and one to 11 of its widths along it.
    const got = shown(placesOn(shelf, HEATHER, 8000, 4000, 0.002, SEED));
    sharesOf(HEATHER, got).forEach((share, k) => {
      const wanted = blend[k].share;
      expect(Math.abs(share - wanted), blend[k].colour).toBeLessThan(4 * Math.sqrt((wanted * (1 - wanted)) / 8000));
    });
  });

  test('a space-dyed length has the colours of its repeat, and each bleeds as far into the next as that into it', () => {
    const repeat = shelf.records[DYED].colourRepeat!;
    const stops = stopsOf(DYED);
    const { cloth } = shelf;
    const bleedMm = texelOf(cloth, shelf.materialOf(DYED), faceTexel(0) + 6)[0] * repeat.lengthMm;
    expect(bleedMm).toBeGreaterThan(0);
    const run = cloth.rowTable.subarray((shelf.rowOf(DYED) * 3 + 2) * 4);
    const places = placesOn(shelf, DYED, 3000, 900, 0.002, SEED);
    const got = shown(places);
    const begins = stops.map(({ from }) => from * repeat.lengthMm);
    let inside = 0;
    places.forEach(({ alongMm }, k) => {
      const at = run[0] + run[1] * alongMm;
      const off = ([...begins, repeat.lengthMm] as number[]).map((begin) => {
        const away = Math.abs(at - begin) % repeat.lengthMm;
        return Math.min(away, repeat.lengthMm - away);
      });
      if (Math.min(...off) < bleedMm + 0.01) return;
      inside++;
      const hex = colourAlong({ ...repeat, startMm: repeat.stops[0].atMm }, at);
      const stop = repeat.stops.findIndex((each) => each.colour === hex);
      expect(apart(colour(got, k), stops[stop].colour), `at ${at} mm`).toBeLessThan(1e-3);
    });
    expect(inside).toBeGreaterThan(1000);
    // Half way of the change it is the mean of both.
    const middles = begins.map((begin) =>
      placeOn(shelf, DYED, { around: 0, alongMm: (begin - run[0]) / run[1], pixelMm: 0.002 }),
    );
    const half = shown(middles);
    stops.forEach((stop, k) => {
      const before = stops[(k + stops.length - 1) % stops.length];
      const mean = stop.colour.map((x, c) => (x + before.colour[c]) / 2);
      expect(apart(colour(half, k), mean), `stop ${k}`).toBeLessThan(5e-3);
    });
  });

  test('a soft strip shows its back on half of its girth, and turns over; a stiff one on its lower side', () => {
    const soft = placesOn(shelf, SATIN, 6000, 6000, 0.002, SEED);
    const gotSoft = shown(soft);
    const back = soft.filter((place, k) => faceOf(gotSoft, k, place) > 0);
    expect(Math.abs(back.length / soft.length - 0.5)).toBeLessThan(0.02);
    const up = soft.filter(({ around }) => around > 0);
    const backUp = back.filter(({ around }) => around > 0);
    expect(backUp.length / up.length).toBeGreaterThan(0.3);
    expect(backUp.length / up.length).toBeLessThan(0.7);

    const stiff = placesOn(shelf, CARD, 300, 100, 0.002, SEED);
    const gotStiff = shown(stiff);
    stiff.forEach((place, k) => {
      expect(faceOf(gotStiff, k, place) > 0).toBe(place.around < 0);
    });
  });

  test('a printed strip shows its motifs, as wide as told and twice as long, on its face alone', () => {
    const { colours, motifMm } = shelf.records[PRINT].print!;
    const places = placesOn(shelf, PRINT, 8000, 8000, 0.002, SEED);
    const got = shown(places);
    const back = [...texelOf(shelf.cloth, shelf.materialOf(PRINT), faceTexel(1)).subarray(0, 3)];
    const upper = places.flatMap((place, k) => (faceOf(got, k, place) === 0 ? [k] : []));
    // It turns over: half of it shows the back, which is of one colour and paler than any mean of the print.
    expect(Math.abs(upper.length / places.length - 0.5)).toBeLessThan(0.02);
    places.forEach((place, k) => {
      if (faceOf(got, k, place) > 0) expect(apart(colour(got, k), back)).toBeLessThan(1e-4);
    });
    // Ink covers what the card says: places fall on some 4000 of 6000 motifs and more.
    const face = Float32Array.from(upper.flatMap((k) => [...got.subarray(k * 4, k * 4 + 4)]));
    sharesOf(PRINT, face).forEach((share, k) => {
      const wanted = colours[k].share;
      expect(Math.abs(share - wanted), colours[k].colour).toBeLessThan(4 * Math.sqrt((wanted * (1 - wanted)) / 2000));
    });

    // Whole motifs go round, a little wider for it. Along the middle of one the colour changes at their ends alone, twice as far apart as they are wide.
    const { radiusMm } = places[0];
    const girthMm = 2 * Math.PI * radiusMm;
    const lanes = Math.floor(girthMm / motifMm);
    const lengthMm = 2 * (girthMm / lanes);
    const start = windingAt(placeOn(shelf, PRINT, { around: 0, alongMm: 0, pixelMm: 0.002 }), 0);
    const around = 2 * Math.PI * (0.5 / lanes - start + Math.round(start));
    const stepMm = 0.05;
    const line = Array.from({ length: 8000 }, (_, k) =>
      placeOn(shelf, PRINT, { around, alongMm: k * stepMm, pixelMm: 0.002 }),
    );
    const seen = shown(line);
    const ends = line.flatMap(({ alongMm }, k) => {
      const within = k > 0 && [k - 1, k].every((at) => faceOf(seen, at, line[at]) === 0);
      return within && apart(colour(seen, k - 1), colour(seen, k)) > 1e-3 ? [alongMm] : [];
    });
    expect(ends.length).toBeGreaterThan(8);
    for (const end of ends) {
      const motifs = (end - ends[0]) / lengthMm;
      expect(Math.abs(motifs - Math.round(motifs)) * lengthMm).toBeLessThan(2 * stepMm);
    }
  });

  test('pile shows its own colour, and what holds it the core’s; a painted net its bars, paint and glitter', () => {
    for (const yarn of [CHENILLE, STEM]) {
      const body = placesOn(shelf, yarn, 20, 20, 0.01, SEED);
      const bristles = body.map((place) => ({ ...place, swell: Math.fround(0.08) }));
      const [cores, hairs] = [shown(body), shown(bristles)];
      const cored = shelf.records[yarn].core !== undefined;
      const own = [...texelOf(shelf.cloth, shelf.materialOf(yarn), faceTexel(0)).subarray(0, 3)];
      body.forEach((place, k) => {
        expect(faceOf(cores, k, place) > 0, shelf.records[yarn].id).toBe(cored);
        // Bristles by themselves gleam otherwise than lying together, in the same colour.
        expect(faceOf(hairs, k, place) > 0).toBe(cored);
        expect(apart(colour(hairs, k), own)).toBeLessThan(1e-3);
      });
    }
    const bars = placesOn(shelf, NET, 12, 20, 0.01, SEED);
    const faces = [1, 1.5, 2].map((swell) => {
      const places = bars.map((place) => ({ ...place, swell }));
      return faceOf(shown(places), 3, places[3]);
    });
    expect(new Set(faces).size).toBe(3);
    expect(faces[0]).toBe(0);
  });

  test('from afar each yarn is the one colour that its cone has, near by that on the mean', () => {
    for (const yarn of [MARL, HEATHER, PRINT]) {
      const { plyColours, blend, print } = shelf.records[yarn];
      const places = placesOn(shelf, yarn, 12, 20, 5, SEED);
      const far = shown(places);
      const cone = [...texelOf(shelf.cloth, shelf.materialOf(yarn), faceTexel(0)).subarray(0, 3)];
      const faces = places.filter((place, k) => faceOf(far, k, place) === 0);
      expect(faces.length).toBeGreaterThan(2);
      for (const face of faces) expect(apart(colour(far, places.indexOf(face)), cone)).toBeLessThan(1e-4);
      const colours = plyColours?.map((hex) => ({ colour: hex, share: 0.5 })) ?? blend ?? print!.colours;
      const mean = [0, 1, 2].map((c) =>
        colours.reduce((sum, each) => sum + each.share * linearFromHex(each.colour)[c], 0),
      );
      // The card's cone colour is written in steps of 1 in 255.
      expect(apart(mean, linearFromHex(shelf.records[yarn].coneColour) as unknown as number[])).toBeLessThan(0.006);
    }
  });

  test('round a yarn its pattern closes: no seam where the angle jumps by a turn', () => {
    for (const [yarn, id] of YARNS.entries()) {
      if (shelf.records[yarn].shape === 'strip') continue;
      const places = placesOn(shelf, yarn, 300, 60, 0.002, SEED);
      const before = places.map((place) => ({ ...place, around: Math.fround(Math.PI - 1e-5) }));
      const after = places.map((place) => ({ ...place, around: Math.fround(-Math.PI + 1e-5) }));
      const [a, b] = [shown(before), shown(after)];
      const other = places.filter((_, k) => apart(colour(a, k), colour(b, k)) > 1e-3).length;
      expect(other / places.length, id).toBeLessThan(0.01);
    }
  });
});
