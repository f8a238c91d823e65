/** Every page of the bench. */
export { Bench } from './Bench.tsx';
export { Hardware } from './Hardware.tsx';
export { LockCheck } from './LockCheck.tsx';
export { NextOperation } from './NextOperation.tsx';
export { OpenedCode } from './OpenedCode.tsx';
export { ReportFinding } from './ReportFinding.tsx';
export { Resin } from './Resin.tsx';
export { Torque } from './Torque.tsx';
export { Transfer } from './Transfer.tsx';
