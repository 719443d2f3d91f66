/** What runs inside a report: the page's own parts, then the scene that plays the lift. */
import { startPage } from './page/start.ts';
import { startScene } from './scene/start-scene.ts';

startPage();
void startScene();
