#!/usr/bin/env node
import { main } from "../dist/program/main.js";

await main(process.argv);
