/* The job page: what is begun, in order. Results last, so that everybody hears the first answer. */
import * as controls from "./controls";
import * as drafts from "./drafts";
import { find } from "./elements";
import * as fields from "./fields";
import * as findings from "./findings";
import * as fit from "./fit";
import * as gates from "./gates";
import * as handline from "./handline";
import * as keys from "./keys";
import * as light from "./light";
import * as measuring from "./measuring";
import { hear, job } from "./page";
import * as panels from "./panels";
import * as places from "./places";
import * as readings from "./readings";
import * as results from "./results";
import * as saves from "./saves";
import * as saving from "./saving";
import * as stage from "./stage";
import * as truesize from "./truesize";
import * as way from "./way";
import * as why from "./why";

job.listen(() => { const title = job.at(["title"]); if (typeof title === "string" && title.trim()) find("#title").textContent = title; });
hear("away", (away) => { find("#away").hidden = !away; });
for (const part of [fields, fit, panels, places, readings, findings, way, gates, why, stage, handline, measuring, truesize, light, keys, saves, saving, drafts, controls, results]) part.begin();
document.documentElement.dataset["ready"] = "page";
