import { settingOf } from './materialsJobs.mjs';

const sentence = (text) => `${text[0].toUpperCase()}${text.slice(1)}${/[.!]$/.test(text) ? '' : '.'}`;

/** docs/materials.md: each sheet, and for each of its materials what to look for and its line of care. */
export function materialsPage(sheets) {
  const parts = sheets.map(({ id, title, materials }) => {
    const lines = materials.map((material) => {
      const { acrossMm, warp, cautions } = settingOf(material);
      const care = cautions ? ` *Care*: ${sentence(cautions)}` : '';
      const laid = material.laidInEvery ? `, laid in every ${material.laidInEvery} picks` : '';
      return `- **${material.label}** (near ${acrossMm} mm across, on ${warp.words}${laid}). ${sentence(material.look)}${care}`;
    });
    return `## ${title}\n\n![${title}](pictures/materials/${id}.jpg)\n\n${lines.join('\n')}\n`;
  });
  return `# Materials

Every kind of material as a weft, in plain weave and in sateen (weft face up), on neutral cotton: near and from 2 m, face and
back, square to the eye and turned to the window. \`npm run materials\` draws the sheets and writes this page. All are seen in
the light of the north window, from the forecast that the table shows; nothing is retouched. Near pictures of a row share one
scale; at 2 m a pixel is one minute of arc. What to look for is what the material shows on the table (common practice), so
that a picture can be found wanting. Lines of care are those of the yarn cards (common practice); the maker's advice comes
first.

${parts.join('\n')}`;
}
