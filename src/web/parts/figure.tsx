/** A drawing of the service's own kind (documents/figures), drawn here as SVG elements. */
import { DASH_PT, INKS, TEXT_PT, type Figure, type Shape } from '../../documents/figures/figure.ts';

/** As wide as its frame lets it, at its own proportions; its words are for those who hear it. */
export const FigureDrawing = ({ figure }: { figure: Figure }) => (
  <svg
    class="figure"
    viewBox={`0 0 ${figure.widthPt} ${figure.heightPt}`}
    role="img"
    font-family="sans-serif"
    aria-label={`${figure.title}. ${figure.description}`}
  >
    {figure.shapes.map((shape, at) => (
      <Drawn key={at} shape={shape} />
    ))}
  </svg>
);

function Drawn({ shape }: { shape: Shape }) {
  if (shape.kind === 'text') {
    const { at, anchor = 'start', sizePt = TEXT_PT, bold = false, ink = 'black' } = shape;
    return (
      <text
        x={at.x}
        y={at.y}
        text-anchor={anchor}
        font-size={sizePt}
        font-weight={bold ? 'bold' : 'normal'}
        fill={INKS[ink]}
      >
        {shape.text}
      </text>
    );
  }
  const look = {
    fill: shape.fill === undefined ? 'none' : INKS[shape.fill],
    stroke: INKS[shape.ink ?? 'black'],
    'stroke-width': shape.weightPt ?? 1,
    ...(shape.dashed === true ? { 'stroke-dasharray': DASH_PT.join(' ') } : {}),
  };
  if (shape.kind === 'circle') {
    return <circle cx={shape.at.x} cy={shape.at.y} r={shape.radiusPt} {...look} />;
  }
  const d = shape.points.map(({ x, y }, at) => `${at === 0 ? 'M' : 'L'}${x} ${y}`).join('');
  const bare = shape.bare === true ? { stroke: 'none' } : {};
  return <path d={shape.closed === true ? `${d}Z` : d} {...look} {...bare} />;
}
