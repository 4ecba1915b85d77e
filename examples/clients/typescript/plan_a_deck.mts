/* Plan a small deck with types generated from the contract, and read what the server says to a job it cannot use.
 *
 * With a server running (`latewood serve`):
 *
 *   npm install openapi-fetch openapi-typescript typescript @types/node
 *   npx openapi-typescript http://127.0.0.1:8000/openapi.json --default-non-nullable=false -o contract.ts
 *   npx tsc && node out/plan_a_deck.mjs http://127.0.0.1:8000
 *
 * --default-non-nullable=false: a field with a default may be left out of a request; the generator assumes otherwise.
 */
import createClient from "openapi-fetch";
import type { components, paths } from "./contract.js";

type Job = components["schemas"]["Job"];
type Plan = components["schemas"]["Plan"];
type Quantity = { value: number | null; unit: string; low?: number; high?: number };

// A made-up deck: 24 ft by 16 ft in the open, with a strip along the house under a roof.
const deck: Job = {
  schema: 1,
  defaults: {
    species: "ipe",
    treatment: "none",
    coating: "clear-penetrating-oil",
    surface: "sanded",
    old_coating: "none",
  },
  zones: [
    // A quantity is a text with its unit, or a number and a unit.
    { id: "main", length: "24 ft", width: { value: 16, unit: "ft" }, exposure: "open" },
    { id: "roofed", part_of: "main", outline: "0 12, 24 12, 24 16, 0 16 ft", exposure: "roofed" },
  ],
};

const server = createClient<paths>({ baseUrl: process.argv[2] ?? "http://127.0.0.1:8000" });

function shown(quantity: Quantity | undefined): string {
  return quantity?.value == null ? "not known" : `${quantity.value} ${quantity.unit}`;
}

async function plan(): Promise<void> {
  const { data, error } = await server.POST("/v1/plan", { body: deck });
  if (error !== undefined) throw new Error(`not planned: ${JSON.stringify(error)}`);
  // Named, since the client's own type of an answer loses what a step's result may hold.
  const answer: Plan = data;
  console.log(`area: ${shown(answer.totals.area)}`);
  for (const purchase of answer.purchases) {
    const cans = purchase.containers.map((can) => `${can.count} × ${can.label}`).join(" + ");
    console.log(`${purchase.title}: ${cans || (purchase.text ?? purchase.count ?? "see the step")}`);
  }
  for (const step of answer.steps) {
    // A step has the type of its calculator, and its result the fields of that.
    if (step.calculator === "coverage") {
      const volume = step.result?.volume; // low and high are P10 and P90
      if (volume) console.log(`${step.id}: ${shown(volume)}, from ${volume.low} to ${volume.high}`);
    }
    if (step.status !== "done") console.log(`${step.id} is ${step.status}: ${step.why}`);
  }
  for (const caution of answer.cautions) console.log(`${caution.severity}: ${caution.message}`);
}

async function coverage(): Promise<void> {
  const { data, error } = await server.POST("/v1/calculate/coverage", {
    body: { area: "320 ft2", species: "ipe", coating: "clear-penetrating-oil" },
  });
  if (error !== undefined) throw new Error(`not calculated: ${JSON.stringify(error)}`);
  const volume = data.result.volume; // low and high are P10 and P90
  console.log(`volume: ${shown(volume)}, from ${volume?.low} to ${volume?.high}`);
}

// A job with two mistakes. Both come back, each with its place and what would be right.
async function refused(): Promise<void> {
  const wrong: Job = { schema: 1, zones: [{ id: "main", length: "24", width: "16 kg" }] };
  const { error } = await server.POST("/v1/plan", { body: wrong });
  if (error === undefined) throw new Error("taken");
  for (const fault of error.errors) {
    console.log(`${error.status} ${fault.pointer} ${fault.code}: ${fault.detail}; ${fault.expected}`);
  }
}

// The plan as it is printed for people; this client reads JSON unless told otherwise.
async function text(): Promise<void> {
  const { data, error } = await server.POST("/v1/plan.txt", { body: deck, parseAs: "text" });
  if (error !== undefined) throw new Error(`not planned: ${JSON.stringify(error)}`);
  console.log(data.split("\n")[0]);
}

for (const part of [plan, coverage, refused, text]) await part();
