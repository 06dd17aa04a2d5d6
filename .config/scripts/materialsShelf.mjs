// Every kind of material that the forecast knows, as wefts of the contact sheets, in the order of the sheets.

/** Dyes of the harbour, for what is sold in any colour; other materials keep the colour of their card. */
const kelp = '#3f7a52';
const rust = '#a8502f';
const sea = '#2f5f8c';
const plum = '#6d3550';
const sand = '#c8a262';

/**
 * `strands`: cards of presets/yarns that lie together in each pick, with a dye where they are dyed; `cutMm`: a strip cut narrower
 * than its card's. `look`: what a person sees in the real thing (common practice). `acrossMm`: of the near picture, where eight
 * widths of the weft would not show it. `laidInEvery`: what comes in single lengths is laid in every so many picks, in a ground of the
 * warp's own yarn. `leastSamples`: a pixel, where few leave the shadows in a narrow gloss grainy.
 */
export const SHEETS = [
  {
    id: 'spun',
    title: 'Spun yarns',
    materials: [
      {
        id: 'matte-cotton',
        label: 'Matte cotton 8/2',
        strands: [{ card: 'cotton-8-2', dye: rust }],
        look: 'soft, even matte threads with a short down of fibre; two plies just told apart.',
      },
      {
        id: 'mercerised-cotton',
        label: 'Mercerised cotton 5/2',
        strands: [{ card: 'cotton-5-2', dye: rust }],
        look: 'the same colour with a silky streak of light on every ply, and hardly a hair.',
      },
      {
        id: 'linen',
        label: 'Linen 16/2',
        strands: [{ card: 'linen-16-2', dye: sand }],
        look: 'thick and thin along each thread, a dry gloss, single stiff fibres that stand off.',
      },
      {
        id: 'worsted',
        label: 'Worsted wool 2/18',
        strands: [{ card: 'worsted-2-18', dye: sea }],
        look: 'smooth, round and matte, with a thin veil of fibre.',
      },
      {
        id: 'woollen',
        label: 'Woollen 2-ply',
        strands: [{ card: 'woollen-2ply', dye: sea }],
        look: 'fuller and softer than worsted; fuzz bridges the gaps.',
      },
      {
        id: 'tweed',
        label: 'Tweed single',
        strands: [{ card: 'woollen-tweed' }],
        look: 'uneven woollen single, hairy, flecked where nops were carded in.',
      },
      {
        id: 'two-colour',
        label: 'Two-colour cotton 8/2',
        strands: [{ card: 'cotton-marl-8-2' }],
        look: 'a dark and a pale ply wound round each other: every float a row of short slanting bars of both.',
      },
      {
        id: 'space-dyed',
        label: 'Space-dyed cotton 8/2',
        strands: [{ card: 'cotton-space-dyed-8-2' }],
        look: 'runs of several colours, some cm each and sharply ended, beside and over one another.',
        acrossMm: 24,
      },
      {
        id: 'heather',
        label: 'Heather wool 2-ply',
        strands: [{ card: 'wool-heather-2ply' }],
        look: 'one soft hairy yarn, close to of four colours in streaks of fibre, from afar of one.',
      },
      {
        id: 'spun-silk',
        label: 'Spun silk 20/2',
        strands: [{ card: 'silk-20-2', dye: plum }],
        look: 'fine plied threads with a soft, warm gloss.',
      },
      {
        id: 'spun-viscose',
        label: 'Spun viscose 10/2',
        strands: [{ card: 'viscose-10-2', dye: plum }],
        look: 'softer drape and more gloss than cotton of the same count, less than filament.',
      },
    ],
  },
  {
    id: 'fancy',
    title: 'Filament, bast and fancy yarns',
    materials: [
      {
        id: 'rayon-filament',
        label: 'Rayon filament, two together',
        strands: [
          { card: 'rayon-filament-300', dye: plum },
          { card: 'rayon-filament-300', dye: plum },
        ],
        look: 'flat, liquid streaks of light that run with the pick and jump as the cloth turns; no hair at all.',
      },
      {
        id: 'jute',
        label: 'Jute twine',
        strands: [{ card: 'jute-2ply' }],
        look: 'coarse two-ply with long stiff hairs standing off every way.',
      },
      {
        id: 'paper-yarn',
        label: 'Paper yarn',
        strands: [{ card: 'paper-430' }],
        look: 'a strip of paper twisted to a crisp, hard, matte cord; creases wind round it, no hair.',
      },
      {
        id: 'slub',
        label: 'Slub cotton',
        strands: [{ card: 'cotton-slub', dye: sand }],
        look: 'a thin single that swells into soft thick places and goes thin again.',
        // Thick places are 20 to 80 mm long, and 0.1 to 0.5 m apart.
        acrossMm: 48,
      },
      {
        id: 'boucle',
        label: 'Cotton bouclé',
        strands: [{ card: 'cotton-boucle', dye: sand }],
        look: 'round loops thrown up along the core, at random; the weave hardly shows.',
        acrossMm: 10,
      },
      {
        id: 'gimp',
        label: 'Cotton gimp',
        strands: [{ card: 'cotton-gimp', dye: sand }],
        look: 'a thin core wound round with heavier threads: knobbly, corrugated outline, close and even beside bouclé.',
        acrossMm: 10,
      },
      {
        id: 'mohair-loop',
        label: 'Mohair loop',
        strands: [{ card: 'mohair-loop', dye: kelp }],
        look: 'long glossy loops, larger and looser than bouclé of cotton.',
        acrossMm: 12,
      },
      {
        id: 'brushed-mohair',
        label: 'Brushed mohair',
        strands: [{ card: 'mohair-brushed', dye: kelp }],
        look: 'long, fine, glossy hairs crossing their neighbours and veiling the weave.',
        acrossMm: 10,
      },
      {
        id: 'brushed-wool',
        label: 'Brushed wool',
        strands: [{ card: 'wool-brushed-2ply', dye: sea }],
        look: 'a soft halo of fine matte hair, shorter and denser than mohair’s; plies blurred beneath it.',
        acrossMm: 10,
      },
      {
        id: 'roving',
        label: 'Pencil roving',
        strands: [{ card: 'wool-pencil-roving', dye: sea }],
        look: 'thick, hardly twisted strand that pillows between ends, fuzz along its edge.',
        acrossMm: 16,
      },
    ],
  },
  {
    id: 'pile',
    title: 'Pile, loose fibre, cord',
    materials: [
      {
        id: 'cotton-chenille',
        label: 'Cotton chenille',
        strands: [{ card: 'cotton-chenille-1.7', dye: kelp }],
        look: 'velvet pile on a core: deep looking in, pale at the rim; a line where an end presses.',
      },
      {
        id: 'viscose-chenille',
        label: 'Viscose chenille',
        strands: [{ card: 'viscose-chenille-1450', dye: kelp }],
        look: 'the same with a sheen that sits on the rim and moves with the light.',
      },
      {
        id: 'chenille-stem',
        label: 'Wired chenille stem',
        strands: [{ card: 'chenille-stem-6', dye: rust }],
        look: 'sparse, straight bristles about a dark twisted wire.',
        acrossMm: 24,
        laidInEvery: 7,
      },
      {
        id: 'loose-fibre',
        label: 'Loose dyed fibre',
        strands: [{ card: 'loose-fibre-inlay', dye: sea }],
        look: 'no twist, uneven, wisps along and across: pillows between ends, pinched where they pass.',
        acrossMm: 24,
      },
      {
        id: 'laid-cord',
        label: 'Cotton cord 4 mm, laid',
        strands: [{ card: 'cotton-cord-4' }],
        look: 'three fat strands wind round each other; deep grooves between; shoulders push the ends apart.',
      },
      {
        id: 'braided-cord',
        label: 'Braided cord 4 mm',
        strands: [{ card: 'braided-cord-4' }],
        look: 'a chevron of crossing strands all along, smooth and round.',
      },
      {
        id: 'felt-strip',
        label: 'Felt strip 10 mm',
        strands: [{ card: 'felt-strip-10', dye: plum }],
        look: 'thick flat band without any threads in it, clean soft edges, matte.',
      },
      {
        id: 'two-together',
        label: 'Matte and bright wound together',
        strands: [
          { card: 'cotton-8-2', dye: sea },
          { card: 'rayon-filament-300', dye: sand },
          { card: 'rayon-filament-300', dye: sand },
        ],
        look: 'two colours side by side in each pick, one dull and one bright, winding over each other.',
        acrossMm: 10,
      },
    ],
  },
  {
    id: 'strips',
    title: 'Strips of cloth, ribbon, raffia',
    materials: [
      {
        id: 'cloth-strip',
        label: 'Cut cotton cloth strip 10 mm',
        strands: [{ card: 'cloth-strip-10', dye: rust }],
        look: 'a small plain weave of its own, folded and crumpled; raw edges with threads hanging out.',
      },
      {
        id: 'print-strip',
        label: 'Cut printed cotton strip 10 mm',
        strands: [{ card: 'print-strip-10' }],
        look: 'small motifs of three colours on the face, a pale back that shows where the strip turns over; folded, frayed.',
      },
      {
        id: 'denim-strip',
        label: 'Cut denim strip 15 mm',
        strands: [{ card: 'denim-strip-15', dye: '#34466b' }],
        look: 'twill lines, blue on one side and pale on the other, thick folds and a white fringe.',
      },
      {
        id: 'satin-strip',
        label: 'Cut satin strip 8 mm',
        strands: [{ card: 'satin-cloth-strip-8', dye: plum }],
        look: 'a shiny face and a dull back that turn over along the strip; a fine fringe.',
        leastSamples: 128,
      },
      {
        id: 'jersey-strip',
        label: 'Jersey strip 10 mm',
        strands: [{ card: 'jersey-strip-10', dye: kelp }],
        look: 'rolled to a soft tube; columns of knitted stitches run along it; no fringe.',
      },
      {
        id: 'satin-ribbon',
        label: 'Satin ribbon 6 mm',
        strands: [{ card: 'ribbon-satin-6', dye: sea }],
        look: 'smooth bright band with firm straight edges.',
        acrossMm: 24,
        leastSamples: 128,
      },
      {
        id: 'raffia',
        label: 'Raffia 5 mm',
        strands: [{ card: 'raffia-5' }],
        look: 'dry, flat, straw-coloured blades folded along their length, with a waxy gloss.',
        acrossMm: 16,
      },
      {
        id: 'variegated',
        label: 'Variegated acrylic',
        strands: [{ card: 'variegated-acrylic-dk' }],
        look: 'one soft yarn whose colour changes along the pick; pools where picks match its repeat.',
        acrossMm: 24,
      },
      {
        id: 'plain-card',
        label: 'Card strip 6 mm',
        strands: [{ card: 'card-strip-6' }],
        look: 'flat, stiff, matte, straight: ends bend about it, it bends about none.',
        acrossMm: 24,
      },
    ],
  },
  {
    id: 'film',
    title: 'Film, foil, holographic card',
    materials: [
      {
        id: 'film-flat',
        label: 'Metallised film, flat 1/64 in',
        strands: [{ card: 'metal-film-1-64' }],
        look: 'little mirrors: each float flashes or goes dark by itself as the cloth turns.',
      },
      {
        id: 'film-twisted',
        label: 'Metallised film on a core',
        strands: [{ card: 'metal-film-twisted' }],
        look: 'a row of tiny sparks along a round thread.',
      },
      {
        id: 'holo-film',
        label: 'Holographic film 3 mm',
        strands: [{ card: 'holo-film-strip-3x50' }],
        look: 'flat bands with rainbow orders that move along as the angle changes.',
      },
      {
        id: 'holo-card',
        label: 'Holographic card 5 mm',
        strands: [{ card: 'holo-card-strip-5' }],
        look: 'the rainbow on a stiff, straight face; its back plain white.',
        acrossMm: 24,
      },
      {
        id: 'stretch-foil',
        label: 'Stretch strip with a foil face 10 mm',
        strands: [{ card: 'stretch-film-strip-10' }],
        look: 'a shimmering elastic band with a dull back, gathered by the warp.',
      },
      {
        id: 'copper-wire',
        label: 'Copper wire 0.2 mm',
        strands: [{ card: 'wire-copper-0.2' }],
        look: 'a bare, hard, red line of light on each thread; stays as it was bent.',
      },
      {
        id: 'steel-wire',
        label: 'Steel wire 0.1 mm',
        strands: [{ card: 'wire-steel-0.1' }],
        look: 'finer and colourless: thin grey lines with a sharp glint.',
      },
    ],
  },
  {
    id: 'net',
    title: 'Net, sheer and clear',
    materials: [
      {
        id: 'tulle',
        label: 'Tulle strip 50 mm',
        strands: [{ card: 'tulle-strip-50', dye: '#e3a9b4' }],
        look: 'several layers of hexagons crushed together; ends show through.',
        acrossMm: 12,
      },
      {
        id: 'painted-net',
        label: 'Painted net strip 25 mm',
        strands: [{ card: 'painted-net-strip-25' }],
        look: 'net with patches of paint that close its holes, and points of glitter.',
        acrossMm: 16,
      },
      {
        id: 'organza',
        label: 'Organza strip 8 mm',
        strands: [{ card: 'organza-strip-20', cutMm: 8, dye: '#d9c58f' }],
        look: 'crisp and sheer: the warp shows through, more coloured where layers lie over one another; a fine fringe.',
        acrossMm: 16,
      },
      {
        id: 'monofilament',
        label: 'Monofilament 0.25 mm',
        strands: [{ card: 'mono-nylon-0.25' }],
        look: 'clear rods: a thin bright line and the warp seen through.',
      },
    ],
  },
];

export const MATERIALS = SHEETS.flatMap(({ id, materials }) =>
  materials.map((material) => ({ ...material, sheet: id })),
);
