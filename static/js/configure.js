// @ts-check
/** Registers what the configurator's pages use. */
import { define } from "./define.js";
import { DrawingElement } from "./drawing-element.js";
import { FrameElement } from "./frame-element.js";
import { PlanElement } from "./plan-element.js";
import { ShareElement } from "./share-element.js";

define("cfg-plan", PlanElement);
define("cfg-drawing", DrawingElement);
define("cfg-share", ShareElement);
define("cfg-frame", FrameElement);
