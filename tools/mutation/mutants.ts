import ts from 'typescript';

/** One change of one source file: characters `from` … `to` become `by`. */
export interface Mutant {
  readonly from: number;
  readonly to: number;
  readonly line: number;
  readonly was: string;
  readonly by: string;
}

const K = ts.SyntaxKind;
/** What each operator becomes. */
const OPERATORS: ReadonlyMap<ts.SyntaxKind, string> = new Map([
  [K.LessThanToken, '<='],
  [K.LessThanEqualsToken, '<'],
  [K.GreaterThanToken, '>='],
  [K.GreaterThanEqualsToken, '>'],
  [K.EqualsEqualsEqualsToken, '!=='],
  [K.ExclamationEqualsEqualsToken, '==='],
  [K.AmpersandAmpersandToken, '||'],
  [K.BarBarToken, '&&'],
  [K.QuestionQuestionToken, '&&'],
  [K.PlusToken, '-'],
  [K.MinusToken, '+'],
  [K.AsteriskToken, '/'],
  [K.SlashToken, '*'],
]);

/** Every mutant of a source text: operators, conditions, numbers, signs, minima and maxima. Types and texts stay. */
export function mutantsOf(name: string, text: string): readonly Mutant[] {
  const source = ts.createSourceFile(name, text, ts.ScriptTarget.Latest, true);
  const all: Mutant[] = [];
  const add = (node: ts.Node, by: string): void => {
    const from = node.getStart(source);
    const line = source.getLineAndCharacterOfPosition(from).line + 1;
    all.push({ from, to: node.end, line, was: text.slice(from, node.end), by });
  };
  const visit = (node: ts.Node): void => {
    if (ts.isTypeNode(node) || ts.isImportDeclaration(node) || ts.isInterfaceDeclaration(node)) return;
    if (ts.isBinaryExpression(node)) {
      const by = OPERATORS.get(node.operatorToken.kind);
      const joinsText = [node.left, node.right].some(
        (side) => ts.isStringLiteralLike(side) || ts.isTemplateExpression(side),
      );
      if (by !== undefined && !joinsText) add(node.operatorToken, by);
    }
    if (ts.isIfStatement(node)) for (const by of ['true', 'false']) add(node.expression, by);
    if (ts.isConditionalExpression(node)) for (const by of ['true', 'false']) add(node.condition, by);
    if (ts.isNumericLiteral(node)) add(node, node.text === '0' ? '1' : `(${node.text} * 2)`);
    if (ts.isPrefixUnaryExpression(node) && [K.ExclamationToken, K.MinusToken].includes(node.operator))
      add(node, `(${node.operand.getText(source)})`);
    if (node.kind === K.TrueKeyword) add(node, 'false');
    if (node.kind === K.FalseKeyword) add(node, 'true');
    if (ts.isPropertyAccessExpression(node) && /^Math\.(min|max)$/.test(node.getText(source)))
      add(node, node.name.text === 'min' ? 'Math.max' : 'Math.min');
    ts.forEachChild(node, visit);
  };
  visit(source);
  return all;
}
