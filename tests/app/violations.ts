import axe from 'axe-core';

/** The rules of axe-core that stand for WCAG 2.2 A and AA (https://www.w3.org/TR/WCAG22/), and its good practices. */
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

/** What breaks them in a part of the page, and where; nothing where all is well. */
export async function violations(part: axe.ElementContext = document): Promise<string[]> {
  const { violations: found } = await axe.run(part, {
    runOnly: { type: 'tag', values: RULES },
    resultTypes: ['violations'],
  });
  return found.flatMap(({ id, help, nodes }) =>
    nodes.map(({ target, failureSummary }) => `${id} (${help}) at ${target.join(' ')}: ${failureSummary}`),
  );
}
