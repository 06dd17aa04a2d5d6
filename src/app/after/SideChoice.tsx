import { Choice } from '#app/table/Choice.tsx';

interface SideChoiceProps {
  readonly side: 'face' | 'back';
  onChoose(side: 'face' | 'back'): void;
}

/** Which side of the cloth a treatment is for, where it can be for one only. */
export function SideChoice({ side, onChoose }: SideChoiceProps) {
  return (
    <Choice
      name="Side"
      value={side}
      options={[
        ['face', 'face'],
        ['back', 'back'],
      ]}
      onChoose={onChoose}
    />
  );
}
