// Written by the program from its own table of factors.
export const M_PER_FT: number;
export const M_PER_NM: number;
export const MPS_PER_KT: number;
export const MPS_PER_KMH: number;
export const KG_PER_LB: number;
