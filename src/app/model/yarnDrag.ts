/** Type under which a yarn's id travels while it is dragged within the page. */
export const yarnDragType = 'application/x-forecloth-yarn';
