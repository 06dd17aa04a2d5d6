import { useFrame, useThree } from '@react-three/fiber';
import { useEffect, useRef } from 'react';
import { clothPose } from '#app/model/clothPose.ts';
import type { AskedCloth } from '#app/model/forecast.ts';
import { type Lens, lensOf } from '#app/model/lens.ts';
import { lightOf, turnSince } from '#app/model/lighting.ts';
import type { Pane, PaneBox } from '#app/model/panes.ts';
import type { TableModel } from '#app/model/tableModel.ts';
import { isGone } from '#app/model/tableState.ts';
import { linearFromHex } from '#engine/colour/colour.ts';
import { ClothView } from '#render/clothView.ts';
import type { ClothPaneSetup, ClothViewOptions, PaneRect } from '#render/clothViewTypes.ts';
import { cardWork } from './drawCards.ts';

/** While a picture is drawn to be saved, the cloth on the table takes one slice of work in so many ms. */
const restingMs = 250;

/** Priority above 0 takes the drawing over from the root's own. */
const takesOver = 1;

/** Owns the cloth's view: hands it cloth, pose and size, and steps it a slice a frame until it rests. */
export function ClothPicture({ table }: { readonly table: TableModel }) {
  const gl = useThree((state) => state.gl);
  const invalidate = useThree((state) => state.invalidate);
  const setSize = useThree((state) => state.setSize);
  const viewRef = useRef<ClothView | undefined>(undefined);
  const cardsRef = useRef<ReturnType<typeof cardWork> | undefined>(undefined);
  const turnedAtRef = useRef(0);
  const slicedAtRef = useRef(0);

  useEffect(() => {
    const { ui, forecast, picture, kept } = table;
    const again = () => {
      if (!isGone(ui.getState().picture)) ui.getState().setPicture('drawing');
      invalidate();
    };
    const view = new ClothView(gl, {
      ...pictureParameters(window.location.search),
      background: backgroundOf(gl.domElement),
      light: lightOf(ui.getState()),
      heldAtMm: ui.getState().heldAtMm,
      lightnessOnly: ui.getState().lightnessOnly,
      onLost: () => ui.getState().setPicture('lost'),
      onRestored: () => {
        ui.getState().setPicture('drawing');
        // With frames on demand the canvas would stay blank: nothing else has changed.
        invalidate();
      },
      onShaderError: (log) => {
        ui.getState().setPicture('impossible', `The graphics driver refused a program: ${log}`);
      },
    });
    viewRef.current = view;
    cardsRef.current = cardWork(table.cards, view);
    picture.view = view;

    const fitSize = () => {
      const { widthPx, heightPx } = ui.getState().panel;
      if (widthPx < 1 || heightPx < 1) return;
      setSize(widthPx, heightPx);
      const ratio = gl.getPixelRatio();
      view.setSize(Math.max(1, Math.round(widthPx * ratio)), Math.max(1, Math.round(heightPx * ratio)));
    };
    const arrange = () => {
      const { shown, panes } = ui.getState();
      const { cloths } = kept.getState();
      const setups = panes.map((pane) => {
        const cloth = pane.cloth === 0 ? undefined : (cloths[pane.cloth - 1]?.result?.packed ?? null);
        return paneSetup(pane, cloth, gl.getPixelRatio());
      });
      const lens = lensOf(ui.getState());
      if (shown === 'one' && !lens) view.setPanes([]);
      else
        view.setPanes(
          lens ? [...setups, lensSetup(lens, setups[panes.indexOf(lens.pane)], gl.getPixelRatio())] : setups,
        );
    };
    const fitPose = () => view.setView(clothPose(ui.getState().pose, gl.getPixelRatio()));
    const takeFar = () => {
      for (const { result, far } of [forecast.state.getState(), ...kept.getState().cloths]) {
        if (result && far) view.setFar(result.packed, far);
      }
    };
    let shownOf: AskedCloth | undefined;
    const takeCloth = () => {
      const { result, resultOf } = forecast.state.getState();
      if (!result) return;
      view.setCloth(result.packed, shownOf !== undefined && resultOf === shownOf);
      shownOf = resultOf;
    };
    fitSize();
    arrange();
    fitPose();
    takeCloth();
    takeFar();
    again();

    const stopUi = ui.subscribe((now, before) => {
      if (now.panel !== before.panel) fitSize();
      const lensMoved = now.lensAt !== before.lensAt || (now.lensAt !== undefined && now.pose !== before.pose);
      if (now.panes !== before.panes || lensMoved) arrange();
      if (lensMoved) again();
      if (now.pose !== before.pose || now.size !== before.size) fitPose();
      if (now.heldAtMm !== before.heldAtMm || now.lightnessOnly !== before.lightnessOnly) {
        view.setLook({ heldAtMm: now.heldAtMm, lightnessOnly: now.lightnessOnly });
        again();
      }
      const moves = now.moving || now.lightTurning;
      const moved = before.moving || before.lightTurning;
      const relit =
        now.preferences.light !== before.preferences.light ||
        now.preferences.rakingFrom !== before.preferences.rakingFrom ||
        now.lightTurn !== before.lightTurn;
      if (relit) view.setLight(lightOf(now));
      if (moves !== moved) view.setMoving(moves);
      const rearranged = now.panel !== before.panel || now.panes !== before.panes;
      if (now.pose !== before.pose || rearranged || moves !== moved || relit) again();
    });
    const stopForecast = forecast.state.subscribe((now, before) => {
      if (now.result === before.result && now.far === before.far) return;
      if (now.result !== before.result) takeCloth();
      takeFar();
      again();
    });
    const stopCards = table.cards.state.subscribe(() => invalidate());
    // The table goes on where it rested meanwhile.
    const stopPictures = table.pictures.state.subscribe(({ drawing }) => {
      if (!drawing) invalidate();
    });
    const stopKept = kept.subscribe(() => {
      arrange();
      takeFar();
      again();
    });
    return () => {
      stopUi();
      stopForecast();
      stopKept();
      stopPictures();
      stopCards();
      viewRef.current = undefined;
      ui.getState().setEarlier(false);
      if (picture.view === view) picture.view = undefined;
      view.dispose();
    };
  }, [table, gl, invalidate, setSize]);

  useFrame(() => {
    const view = viewRef.current;
    const { picture, preferences, setPicture } = table.ui.getState();
    if (!view || isGone(picture)) return;
    const { lightTurning, lightTurn, turnLightTo } = table.ui.getState();
    const now = performance.now();
    if (!lightTurning) turnedAtRef.current = now;
    // What has been changed is still shown, in its own time; under the hand at once.
    if (table.pictures.state.getState().drawing && !table.ui.getState().moving) {
      if (picture === 'settled') return;
      if (now - slicedAtRef.current < restingMs) {
        invalidate();
        return;
      }
      slicedAtRef.current = now;
    }
    const step = view.step();
    // A program that was refused meanwhile has ended it.
    if (isGone(table.ui.getState().picture)) return;
    table.ui.getState().setEarlier(view.showsEarlier);
    if (step === 'more') invalidate();
    else if (lightTurning) {
      // A picture is shown whole before the light goes on.
      turnLightTo((lightTurn + turnSince(now - turnedAtRef.current)) % 1);
      turnedAtRef.current = now;
    } else if (table.forecast.state.getState().result) {
      setPicture('settled');
      if (cardsRef.current?.(preferences.light)) invalidate();
    }
  }, takesOver);

  return null;
}

/** A picture of the page as the view takes it, in device pixels. */
function paneSetup({ frame, clip, otherSide }: Pane, cloth: ClothPaneSetup['cloth'], ratio: number): ClothPaneSetup {
  return { frame: deviceRect(frame, ratio), clip: clip && deviceRect(clip, ratio), otherSide, cloth };
}

/** The lens lies over its picture, and shows the same cloth and side. */
function lensSetup({ box, centreMm, closer }: Lens, below: ClothPaneSetup, ratio: number): ClothPaneSetup {
  const { cloth, otherSide } = below;
  return { frame: deviceRect(box, ratio), cloth, otherSide, lens: { centreMm, closer } };
}

function deviceRect({ xPx, yPx, widthPx, heightPx }: PaneBox, ratio: number): PaneRect {
  const x = Math.round(xPx * ratio);
  const y = Math.round(yPx * ratio);
  return { x, y, width: Math.round((xPx + widthPx) * ratio) - x, height: Math.round((yPx + heightPx) * ratio) - y };
}

/** `?limits=low` draws with nothing beyond what every device has; `?samples=8` settles sooner, on slow machines. */
function pictureParameters(search: string): Pick<ClothViewOptions, 'limits' | 'samples'> {
  const asked = new URLSearchParams(search);
  const samples = Number(asked.get('samples'));
  return {
    limits: asked.get('limits') === 'low' ? 'low' : 'full',
    ...(Number.isInteger(samples) && samples >= 1 ? { samples: Math.min(samples, 256) } : {}),
  };
}

/** The surround the cloth is seen against, in linear light. */
function backgroundOf(element: Element): readonly [number, number, number] {
  const colour = getComputedStyle(element.parentElement ?? element).backgroundColor;
  const channels = /rgba?\((\d+), (\d+), (\d+)/.exec(colour);
  if (!channels) return [0.7, 0.7, 0.7];
  const hex = channels.slice(1, 4).map((channel) => Number(channel).toString(16).padStart(2, '0'));
  return linearFromHex(`#${hex.join('')}`);
}
