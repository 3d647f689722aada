import { describe, expect, it } from 'vitest';
import { chartPage } from '../../src/show/page/renderPage.js';
import { fixtureChart } from '../show/fixtureChart.js';
import { policyOf } from './auditPage.js';

describe('the policy in chart.html', () => {
  const html = chartPage(fixtureChart());
  const { policy, hashes } = policyOf(html);

  it('forbids everything but our own script by its hash, styles in the page and pictures in the page', () => {
    expect(Object.fromEntries(policy)).toEqual({
      'default-src': "'none'",
      'script-src': hashes.join(' '),
      'style-src': "'unsafe-inline'",
      'img-src': 'data:',
      'base-uri': "'none'",
      'form-action': "'none'",
    });
    expect(hashes.length).toBe(1);
  });

  it('stands before anything that it governs', () => {
    const at = html.indexOf('<meta http-equiv="Content-Security-Policy"');
    expect(at).toBeGreaterThan(0);
    for (const tag of ['<script', '<style', '<link', '<title', '<body'])
      expect(html.indexOf(tag), tag).toBeGreaterThan(at);
  });

  it('covers every script there is: no other element runs, no attribute acts', () => {
    expect(html.match(/<script(?![^>]*application\/json)[^>]*>/g)).toEqual(['<script>']);
    const outside = html.replace(/<script[\s\S]*?<\/script>/g, '').replace(/<style[\s\S]*?<\/style>/g, '');
    expect(outside.match(/<[^>]*\son[a-z]+\s*=/i)).toBeNull();
    const addresses = [...outside.matchAll(/\s(?:href|src|action)="([^"]*)"/g)].map(([, address]) => address!);
    expect(addresses.length).toBeGreaterThan(3);
    expect(addresses.filter((address) => !/^(?:#|data:)/.test(address))).toEqual([]);
  });
});
